"""``slackwater why``, ``seen`` and ``effects``: one swimmer's evidence, and whether changes helped."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.model.catalogue import fault
from tracker.output.as_json import effect_json
from tracker.output.sentences.effects import HOW_COMPARED, effect_lines

if TYPE_CHECKING:
    from tracker.model.sources import Constant, Source

WHY_EXAMPLE = """slackwater why "Ines Aalto"
slackwater why "Ines Aalto" --as-of 2026-03-31
slackwater why "Ines Aalto" --sources"""


def why_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label")
    parser.add_argument(
        "--sources",
        action="store_true",
        help="add the numbers from outside that it rests on",
    )


def run_why(args: Namespace, ctx: Context) -> int:
    """Print the verdict, what it rests on, the link and what is due."""
    if ctx.json:
        from tracker.app.explain import sources_of, why
        from tracker.app.faults import fault_names
        from tracker.output.as_json import line_json
        from tracker.output.story_as_json import story_json, word_record_json

        view = why(ctx.session_to_read, args.name)
        found = line_json(view.line, ctx.as_of)
        found["story"] = story_json(view.line.story, fault_names(ctx.session_to_read), ctx.as_of)
        found["word_record"] = word_record_json(view.line.verdict)
        if args.sources:
            found |= _sources_json(*sources_of(ctx.session_to_read, view))
        ctx.say.json({"schema": 1, "as_of": ctx.as_of.isoformat(), **found})
        return 0
    from tracker.app.explain import explain

    sections = explain(ctx.session_to_read, args.name)
    if args.sources:
        sections.append(("Sources", _source_lines(args.name, ctx)))
    for number, (title, lines) in enumerate(sections):
        if number:
            ctx.say.line()
        ctx.say.line(title)
        for line in lines:
            ctx.say.line(f"  {line}")
    return 0


def _sources_json(constants: Sequence[Constant], sources: Sequence[Source]) -> dict[str, object]:
    return {"numbers": [asdict(one) for one in constants], "sources": [asdict(one) for one in sources]}


def _source_lines(name: str, ctx: Context) -> list[str]:
    from tracker.app.explain import sources_of, why
    from tracker.output.sentences.sources import source_lines

    return source_lines(*sources_of(ctx.session_to_read, why(ctx.session_to_read, name)))


SEEN_EXAMPLE = 'slackwater seen "Ines Aalto"'


def seen_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label")


def run_seen(args: Namespace, ctx: Context) -> int:
    """Mark it and print what was marked."""
    from tracker.app.choices import mark_seen
    from tracker.app.explain import why

    view = why(ctx.session_to_read, args.name)
    word = view.line.verdict.verdict if view.line.verdict else ""
    mark_seen(ctx.session_to_read, view.line.swimmer, word)
    if ctx.json:
        ctx.say.json({"schema": 1, "swimmer": view.line.swimmer, "seen": word})
    else:
        ctx.say.line(f"{view.line.swimmer}: {word}, marked as seen")
    return 0


EFFECTS_EXAMPLE = """slackwater effects
slackwater effects breath-late"""


def effects_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("fault", nargs="?", metavar="FAULT", help="its short name (default: all)")


def run_effects(args: Namespace, ctx: Context) -> int:
    """Print what is known of each kind of change."""
    from tracker.app.explain import estimate_effects
    from tracker.app.faults import fault_names

    names = fault_names(ctx.session_to_read)
    slug = args.fault or ""
    if slug and slug not in names:
        slug = fault(slug).slug
    found = estimate_effects(ctx.session_to_read, fault=slug)
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
