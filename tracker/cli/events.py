"""``slackwater event`` and ``slackwater load``."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.entries import (
    changes,
    delete_entry,
    delete_one,
    list_entries,
    needed,
    number_of,
    print_changed,
    print_entries,
    print_entry,
    say_archived,
)
from tracker.cli.parsing import Parser, add_fields, typed_fields
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.about import RecordField, corrigible
from tracker.model.event import Event, Load
from tracker.model.event_kinds import offered_kinds
from tracker.output.cautions import cautions
from tracker.technique.cautions import codes_of_event

EVENT_EXAMPLE = """slackwater event "Ines Aalto" layoff --from 2026-05-02 --to 2026-05-20 --note "moved house"
slackwater event "Ines Aalto" pool --from 2026-06-01 --note "summer in the 50 m pool"
slackwater event list "Ines Aalto"
slackwater event edit 12 --to 2026-05-22
slackwater event delete 12 --yes"""


def _flags() -> list[RecordField]:
    """Return the fields of an event that have a flag; its kind stands before them."""
    return [field for field in corrigible(Event) if field.own != "kind"]


def event_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    *first, last = offered_kinds(health=False)
    parser.add_argument("name", metavar="NAME", help="the swimmer's label; or list, edit or delete")
    parser.add_argument(
        "kind",
        nargs="?",
        metavar="KIND",
        help=f"{', '.join(first)} or {last} (health: see config); after list NAME, else ID",
    )
    add_fields(parser, _flags())
    parser.add_argument("--kind", dest="other_kind", metavar="KIND", help="for edit: another kind")
    parser.add_argument("--yes", action="store_true", help="for delete: don't ask")


def run_event(args: Namespace, ctx: Context) -> int:
    """Log the event and print it; or list, correct or delete."""
    from tracker.app.events import find_event, list_events, log_event

    if args.name == "list":
        rows = list_events(ctx.session_to_read, needed(args.kind, "NAME", "event"))
        return print_entries(ctx, Event, rows, "events")
    if args.name in {"edit", "delete"}:
        old = find_event(ctx.session_to_read, number_of(args.kind, "event"))
        return _edit(args, ctx, old.id) if args.name == "edit" else delete_one(ctx, old, yes=args.yes)
    if args.kind is None or args.other_kind is not None:
        raise UsageError("give NAME KIND, or list, edit, delete (see 'slackwater event --help')")
    event = log_event(ctx.session, {"swimmer": args.name, "kind": args.kind, **typed_fields(args, _flags())})
    say_archived([event.swimmer], ctx)
    print_entry(ctx, event)
    ctx.say.cautioned(cautions(codes_of_event(event.kind, event.note, event.body_part)))
    return 0


def _edit(args: Namespace, ctx: Context, number: int) -> int:
    from tracker.app.events import edit_event

    args.kind = args.other_kind
    new = edit_event(ctx.session_to_read, number, changes(args, corrigible(Event), "event"))
    print_changed(ctx, number, new, "now")
    ctx.say.cautioned(cautions(codes_of_event(new.kind, new.note, new.body_part)))
    return 0


LOAD_EXAMPLE = """slackwater load "Ines Aalto" 2026-06-22 --sessions 3 --metres 7800
slackwater load list "Ines Aalto"
slackwater load delete 12 --yes"""


def _load_flags() -> list[RecordField]:
    """Return the fields of a week that have a flag; which week it is stands before them."""
    return [field for field in corrigible(Load) if field.own != "week"]


def load_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label; or list or delete")
    parser.add_argument(
        "week", metavar="WEEK", help="any day of the week, YYYY-MM-DD; after list NAME, after delete ID"
    )
    add_fields(parser, _load_flags())
    parser.add_argument("--yes", action="store_true", help="for delete: don't ask")


def run_load(args: Namespace, ctx: Context) -> int:
    """Log the week and print it; or list or delete weeks."""
    from tracker.app.events import log_load

    if args.name == "list":
        return list_entries(ctx, Load, args.week, "weeks")
    if args.name == "delete":
        return delete_entry(ctx, Load, args.week, "load", yes=args.yes)
    form = {"swimmer": args.name, "week": args.week, **typed_fields(args, _load_flags())}
    load, replaced = log_load(ctx.session, form)
    say_archived([load.swimmer], ctx)
    print_entry(ctx, load)
    if replaced:
        ctx.say.said("replaces what was logged for that week before")
    return 0
