"""``slackwater review``: log a look at a swimmer's technique; list, correct, delete."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace
from typing import TYPE_CHECKING, assert_never

from tracker.cli.entries import (
    agreed_to_delete,
    changes,
    delete_one,
    list_entries,
    needed,
    number_of,
    print_changed,
    say_archived,
)
from tracker.cli.parsing import Parser, add_fields
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.about import corrigible, fields_called
from tracker.model.catalogue import area, areas, measure, measures
from tracker.model.review import ReviewItem
from tracker.model.units import plain_number
from tracker.model.vocabularies import ItemKind
from tracker.output.sentences.entries import entry_words, side_words

if TYPE_CHECKING:
    from tracker.app.reviews import LoggedReview, Look
    from tracker.model.base import StoredRow
    from tracker.model.fault import FaultStep


_LOGGED = fields_called(ReviewItem, "date", "reviewer", "clip", "note")
"""The fields of every item that a new review has a flag for."""
_OF_ONE = fields_called(ReviewItem, "value", "side")
"""The fields of one item that can be corrected beside them."""
_OWN = ("score", "measure", "points", "fault", "corrected")


def _run_verb(args: Namespace, ctx: Context) -> int:
    """List, correct or delete."""
    from tracker.app.entries import find_entry

    if args.name == "list":
        return list_entries(ctx, ReviewItem, needed(args.which, "NAME", "review"), "items")
    old = find_entry(ctx.session_to_read, ReviewItem, number_of(args.which, "review"))
    return _edit(args, ctx, old) if args.name == "edit" else _delete(args, ctx, old)


def _edit(args: Namespace, ctx: Context, old: StoredRow[ReviewItem]) -> int:
    from tracker.app.reviews import edit_item, edit_look
    from tracker.output.cautions import cautions
    from tracker.technique.cautions import codes_of_record

    wrong = [name for name in _OWN if getattr(args, name)]
    if wrong:
        raise UsageError(
            f"--{wrong[0]} is for a new review; edit takes --value, --side, --date, --by, --clip, --note"
        )
    form = changes(args, corrigible(ReviewItem), "review")
    if args.whole:
        return _print_look(ctx, edit_look(ctx.session_to_read, old, form), "now")
    new = edit_item(ctx.session_to_read, old, form)
    print_changed(ctx, old.id, new, "now")
    ctx.say.cautioned(cautions(codes_of_record(new)))
    return 0


def _delete(args: Namespace, ctx: Context, old: StoredRow[ReviewItem]) -> int:
    from tracker.app.reviews import delete_look

    if not args.whole:
        return delete_one(ctx, old, yes=args.yes)
    item = old.record
    said = f"delete the look at {item.swimmer} of {item.date} by {item.reviewer}, with the faults seen in it"
    if not agreed_to_delete(ctx, said, yes=args.yes):
        return 0
    return _print_look(ctx, delete_look(ctx.session_to_read, old), "deleted")


def _print_look(ctx: Context, look: Look, what: str) -> int:
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "what": what,
                "items": [item.model_dump(mode="json") for item in look.items],
                "steps": [step.model_dump(mode="json") for step in look.steps],
            }
        )
        return 0
    for item in look.items:
        ctx.say.line(f"{what}: {item.swimmer}, {entry_words(item)}")
    for step in look.steps:
        seen = f"{step.fault}{side_words(step.side)} {step.step}"
        ctx.say.line(f"{what}: {step.swimmer}, {step.date} by {step.reviewer}: {seen}")
    return 0


REVIEW_EXAMPLE = """slackwater review areas
slackwater review "Ines Aalto" --by "Maud" --score breathing=2 --measure shoulder-roll:left=58 \\
    --fault breath-late:left=2 --corrected entry-crossing --clip 20260628-03-front
slackwater review "Ines Aalto" --points "shoulder-roll:left:486,331;402,205;120,214;760,210"
slackwater review list "Ines Aalto"
slackwater review edit 12 --value 3
slackwater review delete 12 --whole --yes"""


_SEVERAL = (
    ("--score", "AREA=1..5", "score of an area"),
    ("--measure", "MEASURE[:SIDE]=VALUE", "a measure read off the clip"),
    ("--points", "MEASURE[:SIDE]:x,y;x,y;...", "points read off a still, from which the measure is computed"),
    ("--fault", "FAULT[:SIDE][=1..3]", "a fault seen, with severity"),
    ("--corrected", "FAULT[:SIDE]", "a fault seen to be corrected"),
)


def review_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "name",
        metavar="NAME",
        help="the swimmer's label; or 'areas': what to score and measure; or list, edit, delete",
    )
    add_fields(parser, _LOGGED[:2])
    for flag, metavar, text in _SEVERAL:
        parser.add_argument(flag, metavar=metavar, action="append", default=[], help=text)
    add_fields(parser, _LOGGED[2:])
    parser.add_argument(
        "which", nargs="?", metavar="NAME|ID", help="after list NAME, after edit or delete ID"
    )
    add_fields(parser, _OF_ONE, help_format="for edit: {}")
    parser.add_argument(
        "--whole", action="store_true", help="for edit and delete: every item of that look, its faults too"
    )
    parser.add_argument("--yes", action="store_true", help="for delete: don't ask")


def run_review(args: Namespace, ctx: Context) -> int:
    """Log the look and print what was written down; or print what there is to score and measure."""
    if args.name == "areas":
        return _areas(ctx)
    if args.name in {"list", "edit", "delete"}:
        return _run_verb(args, ctx)
    if args.which is not None or args.value is not None or args.side is not None or args.whole:
        raise UsageError(
            "a review is of one NAME; 'list' and the like come first (see 'slackwater review --help')"
        )
    from tracker.app.reviews import log_review
    from tracker.entry.review_form import TypedReview

    typed = TypedReview(
        name=args.name,
        by=ctx.who if args.reviewer is None else args.reviewer,
        date=args.date or "",
        scores=tuple(args.score),
        measures=tuple(args.measure),
        points=tuple(args.points),
        faults=tuple(args.fault),
        corrected=tuple(args.corrected),
        clip=args.clip or "",
        note=args.note or "",
    )
    logged = log_review(ctx.session, typed)
    say_archived([logged.swimmer], ctx)
    if ctx.json:
        ctx.say.json(_json(logged))
        return 0
    ctx.say.line(f"review of {logged.swimmer} on {logged.date} by {logged.reviewer}")
    for item in logged.items:
        if item.kind != ItemKind.LOOK or not logged.steps:
            ctx.say.line(_item_words(item))
    for step in logged.steps:
        ctx.say.line(step_words(step))
    _print_beside(logged, ctx)
    return 0


def _areas(ctx: Context) -> int:
    """Print the areas with words for each score, and the measures with their norms."""
    if ctx.json:
        from dataclasses import asdict

        ctx.say.json(
            {
                "schema": 1,
                "areas": [asdict(one) for one in areas()],
                "measures": [asdict(one) for one in measures()],
            }
        )
        return 0
    for one in areas():
        ctx.say.line(f"{one.slug}: {one.name}")
        for score, words in enumerate(one.steps, 1):
            ctx.say.line(f"  {score} {words}")
    for known in measures():
        ctx.say.line(f"{known.slug} ({known.unit}; {known.view}): {known.how} Norm: {known.norm}.")
    return 0


def _print_beside(logged: LoggedReview, ctx: Context) -> None:
    """Print what changed since this reviewer's last look, and cues that can have provoked what was opened."""
    from tracker.app.reviews import compare_looks
    from tracker.app.work import find_provoking
    from tracker.output.cautions import MINOR_CLIP, cautions
    from tracker.output.sentences.evidence import CAMERA, beside_the_club, look_lines, provoked_note
    from tracker.technique.cautions import codes_in

    on_that_day = replace(ctx.session, today=logged.date)
    looks = compare_looks(on_that_day, logged.swimmer, reviewer=logged.reviewer)
    now = [change for change in looks.changes if change.date == logged.date]
    for line in look_lines([change for change in now if change.before is not None], ctx.as_of):
        ctx.say.line(line)
    for line in beside_the_club(now, looks.norms, looks.errors):
        ctx.say.line(line)
    for found in find_provoking(ctx.session, logged.steps):
        ctx.say.warned(provoked_note(found.step.fault, found.cue.text, found.cue.from_date, ctx.as_of))
    texts = [one.note for one in logged.items] + [one.note for one in logged.steps]
    ctx.say.cautioned(cautions(codes_in(texts)))
    if logged.minor_clip:
        ctx.say.warned(MINOR_CLIP)
    if any(item.kind == ItemKind.MEASURE for item in logged.items):
        ctx.say.said(CAMERA)


def _item_words(item: ReviewItem) -> str:
    value = plain_number(item.value or 0.0)
    match item.kind:
        case ItemKind.LOOK:
            return "looked, nothing to write down"
        case ItemKind.SCORE:
            from tracker.output.sentences.evidence import score_words

            words = score_words(area(item.item), item.value or 0.0)
            return f"{item.item}: {value} of 5" + (f": {words}" if words else "")
        case ItemKind.MEASURE:
            known = measure(item.item)
            named = f"{known.name}{side_words(item.side)}"
            return f"{named}: {value} {known.unit}; norm: {known.norm} ({known.source})"
        case other:
            assert_never(other)


def step_words(step: FaultStep) -> str:
    """Return "breath-late (left): seen, severity 2"."""
    severity = f", severity {step.severity}" if step.severity else ""
    return f"{step.fault}{side_words(step.side)}: {step.step}{severity}"


def _json(logged: LoggedReview) -> dict[str, object]:
    return {
        "schema": 1,
        "swimmer": logged.swimmer,
        "date": logged.date.isoformat(),
        "reviewer": logged.reviewer,
        "items": [item.model_dump(mode="json") for item in logged.items],
        "steps": [step.model_dump(mode="json") for step in logged.steps],
    }
