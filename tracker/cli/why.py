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
    from tracker.output.as_json import line_json
    from tracker.output.look_words import look_lines
    from tracker.output.why_text import why_sections
    from tracker.usecases.compare_looks import compare_looks
    from tracker.usecases.fault_names import fault_names
    from tracker.usecases.why import why

    view = why(ctx.store_to_read, args.name, as_of=ctx.as_of, settings=ctx.settings)
    health = ctx.settings.health
    if ctx.json:
        found = line_json(view.line, ctx.as_of, health=health)
        ctx.say.json({"schema": 1, "as_of": ctx.as_of.isoformat(), **found})
        return 0
    sections = why_sections(
        view.line,
        view.spells,
        [kept.record for kept in view.work],
        [kept.record for kept in view.events],
        names=fault_names(ctx.store_to_read),
        as_of=ctx.as_of,
        health=health,
    )
    looks = compare_looks(ctx.store_to_read, view.swimmer.swimmer, as_of=ctx.as_of)
    if looks:
        sections.insert(-1, ("Looks, each reviewer apart", look_lines(looks, ctx.as_of)))
    for number, (title, lines) in enumerate(sections):
        if number:
            ctx.say.line()
        ctx.say.line(title)
        for line in lines:
            ctx.say.line(f"  {line}")
    return 0
