"""``slackwater undo``: take back the last change that stands."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context

EXAMPLE = "slackwater undo"


def add_arguments(_parser: Parser) -> None:
    """Add nothing: the command takes no arguments."""


def run(_args: Namespace, ctx: Context) -> int:
    """Take back the last change that stands, and say what it was."""
    from tracker.usecases.undo import undo

    what = undo(ctx.store_to_read, **ctx.written_by)
    if ctx.json:
        ctx.say.json({"schema": 1, "undo": what})
    else:
        ctx.say.line(f"undo: {what}")
    return 0
