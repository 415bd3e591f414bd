"""``slackwater redo``: do again what was taken back last."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context

EXAMPLE = "slackwater redo"


def add_arguments(_parser: Parser) -> None:
    """Add nothing: the command takes no arguments."""


def run(_args: Namespace, ctx: Context) -> int:
    """Do again what was taken back last, and say what it was."""
    from tracker.usecases.redo import redo

    what = redo(ctx.store_to_read, **ctx.written_by)
    if ctx.json:
        ctx.say.json({"schema": 1, "redo": what})
    else:
        ctx.say.line(f"redo: {what}")
    return 0
