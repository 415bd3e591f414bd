"""The old import path of `judge`: use `tracker.app.judge`."""

from __future__ import annotations

from warnings import warn

from tracker.app.judge import judge

__all__ = ["judge"]

warn(
    "tracker.usecases.judge is now tracker.app.judge; the old path goes with the next release",
    DeprecationWarning,
    stacklevel=2,
)
