"""``slackwater why``: the evidence behind one swimmer's verdict."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context

EXAMPLE = """slackwater why "Ines Aalto"
slackwater why "Ines Aalto" --as-of 2026-03-31"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label")


def run(args: Namespace, ctx: Context) -> int:
    """Print the verdict, what it rests on, the link and what is due."""
    if ctx.json:
        from tracker.output.as_json import line_json
        from tracker.usecases.why import why

        view = why(ctx.store_to_read, args.name, as_of=ctx.as_of, settings=ctx.settings)
        found = line_json(view.line, ctx.as_of, health=ctx.settings.health)
        ctx.say.json({"schema": 1, "as_of": ctx.as_of.isoformat(), **found})
        return 0
    from tracker.usecases.explain import explain

    sections = explain(ctx.store_to_read, args.name, as_of=ctx.as_of, settings=ctx.settings)
    for number, (title, lines) in enumerate(sections):
        if number:
            ctx.say.line()
        ctx.say.line(title)
        for line in lines:
            ctx.say.line(f"  {line}")
    return 0
