"""``slackwater review list|edit|delete``: what was written down in looks, corrected or taken out."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.entries import (
    agreed_to_delete,
    delete_one,
    needed,
    number_of,
    print_changed,
    print_entries,
)
from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.records.units import plain_number

if TYPE_CHECKING:
    from tracker.records.kept import Kept
    from tracker.records.review import ReviewItem
    from tracker.usecases.edit_review import Look

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
    from tracker.records.review import ReviewItem

    if args.name == "list":
        from tracker.usecases.list_entries import list_entries

        kept = list_entries(ctx.store_to_read, ReviewItem, needed(args.which, "NAME", "review"))
        return print_entries(ctx, "items", kept, _HEADER, _cells)
    from tracker.usecases.list_entries import find_entry

    old = find_entry(ctx.store_to_read, ReviewItem, number_of(args.which, "review"))
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


def _edit(args: Namespace, ctx: Context, old: Kept[ReviewItem]) -> int:
    from tracker.usecases.edit_review import edit_item, edit_look

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
        return _print_look(
            ctx, edit_look(ctx.store_to_read, old, form, as_of=ctx.as_of, **ctx.written_by), "now"
        )
    new = edit_item(ctx.store_to_read, old, form, as_of=ctx.as_of, **ctx.written_by)
    return print_changed(ctx, old.id, new, "now", _words(new))


def _delete(args: Namespace, ctx: Context, old: Kept[ReviewItem]) -> int:
    from tracker.usecases.edit_review import delete_look

    if not args.whole:
        return delete_one(ctx, old, _words(old.record), yes=args.yes)
    item = old.record
    said = f"delete the look at {item.swimmer} of {item.date} by {item.reviewer}, with the faults seen in it"
    if not agreed_to_delete(ctx, said, yes=args.yes):
        return 0
    return _print_look(ctx, delete_look(ctx.store_to_read, old, **ctx.written_by), "deleted")


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
