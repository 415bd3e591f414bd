"""``slackwater review``: log a look at a swimmer's technique; list, correct, delete."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import replace
from typing import TYPE_CHECKING

from tracker.cli.consents import say_archived
from tracker.cli.entries import agreed_to_delete, delete_one, needed, number_of, print_changed, print_entries
from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.catalogue import area, areas, measure, measures
from tracker.model.units import plain_number

if TYPE_CHECKING:
    from tracker.app.reviews import LoggedReview, Look
    from tracker.model.fault import FaultStep
    from tracker.model.review import ReviewItem
    from tracker.model.stored_row import StoredRow


VERBS = ("list", "edit", "delete")
_HEADER = ("date", "reviewer", "kind", "item", "side", "value", "points", "clip", "note")
_OWN = ("score", "measure", "points", "fault", "corrected")


def add_flags(parser: Parser) -> None:
    """Add what the verbs take beside the flags of a review."""
    parser.add_argument(
        "which", nargs="?", metavar="NAME|ID", help="after list NAME, after edit or delete ID"
    )
    parser.add_argument("--value", metavar="N", help="for edit: the score or reading")
    parser.add_argument("--side", metavar="S", help="for edit: left, right or '' for none")
    parser.add_argument(
        "--whole", action="store_true", help="for edit and delete: every item of that look, its faults too"
    )
    parser.add_argument("--yes", action="store_true", help="for delete: don't ask")


def run_verb(args: Namespace, ctx: Context) -> int:
    """Do what the verb says."""
    from tracker.model.review import ReviewItem

    if args.name == "list":
        from tracker.app.entries import list_entries

        kept = list_entries(ctx.session_to_read, ReviewItem, needed(args.which, "NAME", "review"))
        return print_entries(ctx, "items", kept, _HEADER, _cells)
    from tracker.app.entries import find_entry

    old = find_entry(ctx.session_to_read, ReviewItem, number_of(args.which, "review"))
    return _edit(args, ctx, old) if args.name == "edit" else _delete(args, ctx, old)


def _cells(item: ReviewItem) -> tuple[str, ...]:
    value = "" if item.value is None else plain_number(item.value)
    return (
        str(item.date),
        item.reviewer,
        item.kind,
        item.item,
        item.side,
        value,
        item.points,
        item.clip,
        item.note,
    )


def _words(item: ReviewItem) -> str:
    side = f" ({item.side})" if item.side else ""
    value = "" if item.value is None else f" {plain_number(item.value)}"
    return f"{item.date} by {item.reviewer}: {item.item or item.kind}{side}{value}"


def _edit(args: Namespace, ctx: Context, old: StoredRow[ReviewItem]) -> int:
    from tracker.app.reviews import edit_item, edit_look

    wrong = [name for name in _OWN if getattr(args, name)]
    if wrong:
        raise UsageError(
            f"--{wrong[0]} is for a new review; edit takes --value, --side, --date, --by, --clip, --note"
        )
    given = {
        "date": args.date,
        "reviewer": args.by,
        "side": args.side,
        "value": args.value,
        "clip": args.clip,
        "note": args.note,
    }
    form = {name: text for name, text in given.items() if text is not None}
    if not form:
        raise UsageError("nothing to change; name a field (see 'slackwater review --help')")
    if args.whole:
        return _print_look(ctx, edit_look(ctx.session_to_read, old, form), "now")
    new = edit_item(ctx.session_to_read, old, form)
    return print_changed(ctx, old.id, new, "now", _words(new))


def _delete(args: Namespace, ctx: Context, old: StoredRow[ReviewItem]) -> int:
    from tracker.app.reviews import delete_look

    if not args.whole:
        return delete_one(ctx, old, _words(old.record), yes=args.yes)
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
        ctx.say.line(f"{what}: {item.swimmer}, {_words(item)}")
    for step in look.steps:
        side = f" ({step.side})" if step.side else ""
        ctx.say.line(
            f"{what}: {step.swimmer}, {step.date} by {step.reviewer}: {step.fault}{side} {step.step}"
        )
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
    parser.add_argument("--date", metavar="D", help="day of the look (default: today)")
    parser.add_argument("--by", metavar="WHO", help="the reviewer (default: you)")
    for flag, metavar, text in _SEVERAL:
        parser.add_argument(flag, metavar=metavar, action="append", default=[], help=text)
    parser.add_argument("--clip", metavar="REF", help="reference to the clip; the clip is not kept")
    parser.add_argument("--note", metavar="T", help="anything else; nothing about health")
    add_flags(parser)


def run_review(args: Namespace, ctx: Context) -> int:
    """Log the look and print what was written down; or print what there is to score and measure."""
    if args.name == "areas":
        return _areas(ctx)
    if args.name in VERBS:
        return run_verb(args, ctx)
    if args.which is not None or args.value is not None or args.side is not None or args.whole:
        raise UsageError(
            "a review is of one NAME; 'list' and the like come first (see 'slackwater review --help')"
        )
    from tracker.app.reviews import log_review
    from tracker.entry.review_form import TypedReview

    typed = TypedReview(
        name=args.name,
        by=ctx.who if args.by is None else args.by,
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
        if item.kind != "look" or not logged.steps:
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
    from tracker.output.cautions import MINOR_CLIP
    from tracker.output.sentences.evidence import CAMERA, look_lines, provoked_note

    changes = compare_looks(replace(ctx.session, today=logged.date), logged.swimmer, reviewer=logged.reviewer)
    again = [change for change in changes if change.date == logged.date and change.before is not None]
    for line in look_lines(again, ctx.as_of):
        ctx.say.line(line)
    for found in find_provoking(ctx.session, logged.steps):
        ctx.say.warned(provoked_note(found.step.fault, found.cue.text, found.cue.from_date, ctx.as_of))
    if logged.minor_clip:
        ctx.say.warned(MINOR_CLIP)
    if any(item.kind == "measure" for item in logged.items):
        ctx.say.said(CAMERA)


def _item_words(item: ReviewItem) -> str:
    if item.kind == "look":
        return "looked, nothing to write down"
    value = plain_number(item.value or 0.0)
    if item.kind == "score":
        from tracker.output.sentences.evidence import score_words

        words = score_words(area(item.item), item.value or 0.0)
        return f"{item.item}: {value} of 5" + (f": {words}" if words else "")
    known = measure(item.item)
    side = f" ({item.side})" if item.side else ""
    reading = known.reading(item.value or 0.0)
    return f"{known.name}{side}: {value} {known.unit}; norm: {known.norm} ({known.source}): {reading}"


def step_words(step: FaultStep) -> str:
    """Return "breath-late (left): seen, severity 2"."""
    side = f" ({step.side})" if step.side else ""
    severity = f", severity {step.severity}" if step.severity else ""
    return f"{step.fault}{side}: {step.step}{severity}"


def _json(logged: LoggedReview) -> dict[str, object]:
    return {
        "schema": 1,
        "swimmer": logged.swimmer,
        "date": logged.date.isoformat(),
        "reviewer": logged.reviewer,
        "items": [item.model_dump(mode="json") for item in logged.items],
        "steps": [step.model_dump(mode="json") for step in logged.steps],
    }
