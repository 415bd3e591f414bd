"""``slackwater effects``: did corrections, cues and drills help; with grades and numbers."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.output.effect_words import HOW_COMPARED, effect_lines
from tracker.output.technique_json import effect_json
from tracker.records.catalogue import fault

EXAMPLE = """slackwater effects
slackwater effects breath-late"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("fault", nargs="?", metavar="FAULT", help="its short name (default: all)")


def run(args: Namespace, ctx: Context) -> int:
    """Print what is known of each kind of change."""
    from tracker.usecases.fault_names import fault_names
    from tracker.usecases.weigh_effects import weigh_effects

    names = fault_names(ctx.store_to_read)
    slug = args.fault or ""
    if slug and slug not in names:
        slug = fault(slug).slug
    found = weigh_effects(ctx.store_to_read, as_of=ctx.as_of, settings=ctx.settings, fault=slug)
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "as_of": ctx.as_of.isoformat(),
                "effects": [effect_json(effect) for effect in found.all],
            }
        )
        return 0
    for line in effect_lines(found.all, found.side_by_side, names, slug, ctx.as_of):
        ctx.say.line(line)
    ctx.say.said(HOW_COMPARED)
    return 0
