"""Progress of a long command and its remaining time, on one line of the terminal."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from typing import Final

from tracker.cli.wiring import Context

_SETTLED_S: Final = 2.0
"""Before that there is no telling how long it will take."""


def progress_of(what: str, ctx: Context) -> Callable[[int, int], None] | None:
    """Return what shows progress; None where nobody looks or quiet was asked for."""
    if ctx.say.quiet or not sys.stderr.isatty():
        return None
    began = time.monotonic()

    def show(done: int, total: int) -> None:
        left = time_left(done, total, time.monotonic() - began)
        sys.stderr.write(f"\r\x1b[K{done:,} of {total:,} {what}{left}" + ("\n" if done >= total else ""))
        sys.stderr.flush()

    return show


def time_left(done: int, total: int, spent_s: float) -> str:
    """Return ", about ... left"; nothing at the end, or as long as there is no telling."""
    if not 0 < done < total or spent_s < _SETTLED_S:
        return ""
    seconds = spent_s * (total - done) / done
    if seconds < 90:
        return f", about {seconds:.0f} s left"
    return (
        f", about {seconds / 60:.0f} min left" if seconds < 5400 else f", about {seconds / 3600:.1f} h left"
    )
