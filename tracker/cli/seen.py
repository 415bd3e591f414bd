"""``slackwater seen``: mark a swimmer's present verdict as seen."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context

EXAMPLE = 'slackwater seen "Ines Aalto"'


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label")


def run(args: Namespace, ctx: Context) -> int:
    """Mark it and print what was marked."""
    from tracker.usecases.mark_seen import mark_seen
    from tracker.usecases.why import why

    view = why(ctx.store_to_read, args.name, as_of=ctx.as_of, settings=ctx.settings)
    word = view.line.verdict.verdict if view.line.verdict else ""
    mark_seen(ctx.store_to_read, view.line.swimmer, word, as_of=ctx.as_of, **ctx.written_by)
    if ctx.json:
        ctx.say.json({"schema": 1, "swimmer": view.line.swimmer, "seen": word})
    else:
        ctx.say.line(f"{view.line.swimmer}: {word}, marked as seen")
    return 0
