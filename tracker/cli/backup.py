"""``slackwater backup``: a verified copy of the database."""

from __future__ import annotations

import os
from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.standard_input import place_to_write
from tracker.cli.wiring import Context
from tracker.output.numbers import count

EXAMPLE = """slackwater backup ~/copies/club.db
slackwater backup ~/copies/ --keep 7"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "path",
        metavar="FILE|DIR",
        help="the copy; in a folder (there already, or ending in /) it gets a dated name",
    )
    parser.add_argument("--keep", metavar="N", type=int, help="in a folder: keep the N latest copies")
    parser.add_argument("--force", action="store_true", help="replace a file that exists")


def run(args: Namespace, ctx: Context) -> int:
    """Copy, verify, rotate, and say so."""
    from tracker.usecases.back_up import back_up

    made = back_up(
        ctx.store_to_read,
        place_to_write(args.path),
        at=ctx.now,
        folder=args.path.endswith(tuple(filter(None, (os.sep, os.altsep)))),
        keep=args.keep,
        force=args.force,
    )
    ctx.say_noted(noted=made.noted)
    if ctx.json:
        removed = [str(path) for path in made.removed]
        ctx.say.json({"schema": 1, "backup": str(made.path), "rows": made.rows, "removed": removed})
        return 0
    ctx.say.line(f"{made.path}: {count(made.rows, 'row')}, read back and compared")
    for path in made.removed:
        ctx.say.line(f"removed {path}")
    return 0
