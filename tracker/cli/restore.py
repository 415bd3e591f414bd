"""``slackwater restore``: bring a backup back."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import DecisionNeededError
from tracker.output.numbers import count
from tracker.records.address import without_secret

EXAMPLE = "slackwater restore ~/copies/club.db --yes"


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("file", metavar="FILE", help="a copy made by 'slackwater backup'")
    parser.add_argument("--yes", action="store_true", help="replace the present database without asking")


def run(args: Namespace, ctx: Context) -> int:
    """Restore, after a yes."""
    from tracker.usecases.restore import restore

    place = without_secret(ctx.db)
    question = f"Replace everything in {place} by the copy {args.file}?"
    if not args.yes and not (ctx.may_ask and ctx.agreed(question)):
        raise DecisionNeededError(f"restore replaces everything in {place}; say --yes")
    done = restore(ctx.db, Path(args.file), at=ctx.now)
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "rows": done.rows,
                "replaced": str(done.replaced) if done.replaced else None,
                "erased_again": done.erased_again,
            }
        )
        return 0
    ctx.say.line(f"restored {count(done.rows, 'row')}")
    if done.replaced:
        ctx.say.line(f"what was there before is in {done.replaced}")
    if done.erased_again:
        ctx.say.line(f"erased again, for the copy still held them: {count(done.erased_again, 'swimmer')}")
    return 0
