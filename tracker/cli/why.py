"""``slackwater why``, ``seen`` and ``effects``: one swimmer's evidence, and whether changes helped."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

from tracker.cli.parsing import Parser
from tracker.cli.scan import check_group
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.catalogue import fault
from tracker.output.as_json import effect_json
from tracker.output.sentences.effects import HOW_COMPARED, effect_lines
from tracker.output.sentences.numbers import count

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


SEEN_EXAMPLE = """slackwater seen "Ines Aalto"
slackwater seen --all --group Masters"""


def seen_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", nargs="?", metavar="NAME", help="the swimmer's label")
    parser.add_argument("--all", action="store_true", help="everybody on the roster")
    parser.add_argument("--group", metavar="G", help="with --all: only this group")


def run_seen(args: Namespace, ctx: Context) -> int:
    """Mark it and print what was marked."""
    if bool(args.name) + args.all != 1:
        raise UsageError("say who was seen: one NAME, or --all (with --group G: a group)")
    if args.group is not None and not args.all:
        raise UsageError("--group goes with --all: the roster of a group was seen")
    if args.all:
        return _seen_all(args, ctx)
    from tracker.app.explain import why
    from tracker.app.told import mark_seen

    line = why(ctx.session_to_read, args.name).line
    mark_seen(ctx.session_to_read, line)
    if ctx.json:
        ctx.say.json({"schema": 1, "swimmer": line.swimmer, "seen": line.word})
    else:
        ctx.say.line(f"{line.swimmer}: {line.word}, marked as seen")
    return 0


def _seen_all(args: Namespace, ctx: Context) -> int:
    """Mark the roster, or a group of it, and print how many verdicts those were."""
    from tracker.app.told import mark_all_seen

    if args.group is not None:
        check_group(args.group, ctx)
    seen = mark_all_seen(ctx.session_to_read, group=args.group)
    if ctx.json:
        marked = [{"swimmer": one.swimmer, "seen": one.verdict} for one in seen]
        ctx.say.json({"schema": 1, "as_of": ctx.as_of.isoformat(), "all": marked})
    else:
        ctx.say.line(f"{count(len(seen), 'verdict')} marked as seen")
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
