"""``slackwater event`` and ``slackwater load``."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.consents import say_archived
from tracker.cli.entries import delete_one, needed, number_of, print_changed, print_entries
from tracker.cli.parsing import Parser, add_fields, typed_fields
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.model.event_kinds import offered_kinds
from tracker.model.units import plain_number
from tracker.output.cautions import cautions
from tracker.output.sentences.link import load_words
from tracker.technique.cautions import codes_of_event

if TYPE_CHECKING:
    from tracker.model.about import RecordField
    from tracker.model.event import Load
    from tracker.technique.privacy import ShownEvent


EVENT_EXAMPLE = """slackwater event "Ines Aalto" layoff --from 2026-05-02 --to 2026-05-20 --note "moved house"
slackwater event "Ines Aalto" pool --from 2026-06-01 --note "summer in the 50 m pool"
slackwater event list "Ines Aalto"
slackwater event edit 12 --to 2026-05-22
slackwater event delete 12 --yes"""

VERBS = ("list", "edit", "delete")
_HEADER = ("from", "to", "kind", "note")


def _flags() -> list[RecordField]:
    """Return the fields of an event that have a flag; its kind stands before them."""
    from tracker.model.about import corrigible
    from tracker.model.event import Event

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
    if args.name in VERBS:
        return {"list": _list, "edit": _edit, "delete": _delete}[args.name](args, ctx)
    if args.kind is None or args.other_kind is not None:
        raise UsageError("give NAME KIND, or list, edit, delete (see 'slackwater event --help')")
    from tracker.app.events import log_event

    form = {"swimmer": args.name, "kind": args.kind, **typed_fields(args, _flags())}
    event = log_event(ctx.session, form)
    say_archived([event.swimmer], ctx)
    if ctx.json:
        ctx.say.json({"schema": 1, **event.model_dump(mode="json")})
    else:
        ctx.say.line(f"{event.swimmer}, {_words(event)}")
    ctx.say.cautioned(cautions(codes_of_event(event.kind, event.note)))
    return 0


def _words(event: ShownEvent) -> str:
    ends = f" to {event.to_date}" if event.to_date else ""
    note = f": {event.note}" if event.note else ""
    return f"{event.kind} from {event.from_date}{ends}{note}"


def _list(args: Namespace, ctx: Context) -> int:
    from tracker.app.events import list_events

    kept = list_events(ctx.session_to_read, needed(args.kind, "NAME", "event"))
    return print_entries(ctx, "events", kept, _HEADER, _cells)


def _cells(event: ShownEvent) -> tuple[str, ...]:
    return str(event.from_date), str(event.to_date or ""), event.kind, event.note


def _edit(args: Namespace, ctx: Context) -> int:
    from tracker.app.events import edit_event, find_event

    old = find_event(ctx.session_to_read, number_of(args.kind, "event"))
    form = typed_fields(args, _flags()) | ({} if args.other_kind is None else {"kind": args.other_kind})
    if not form:
        raise UsageError("nothing to change; name a field (see 'slackwater event --help')")
    new = edit_event(ctx.session_to_read, old.id, form)
    print_changed(ctx, old.id, new, "now", _words(new))
    ctx.say.cautioned(cautions(codes_of_event(new.kind, new.note)))
    return 0


def _delete(args: Namespace, ctx: Context) -> int:
    from tracker.app.events import find_event

    old = find_event(ctx.session_to_read, number_of(args.kind, "event"))
    return delete_one(ctx, old, _words(old.record), yes=args.yes)


LOAD_EXAMPLE = """slackwater load "Ines Aalto" 2026-06-22 --sessions 3 --metres 7800
slackwater load list "Ines Aalto"
slackwater load delete 12 --yes"""


def _load_flags() -> list[RecordField]:
    """Return the fields of a week that have a flag; which week it is stands before them."""
    from tracker.model.about import corrigible
    from tracker.model.event import Load

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
    if args.name in {"list", "delete"}:
        return _list_load(args, ctx) if args.name == "list" else _delete_load(args, ctx)
    from tracker.app.events import log_load

    form = {"swimmer": args.name, "week": args.week, **typed_fields(args, _load_flags())}
    load, replaced = log_load(ctx.session, form)
    say_archived([load.swimmer], ctx)
    if ctx.json:
        ctx.say.json({"schema": 1, **load.model_dump(mode="json")})
    else:
        ctx.say.line(f"{load.swimmer}, {load_words(load)}")
    if replaced:
        ctx.say.said("replaces what was logged for that week before")
    return 0


def _cells_load(load: Load) -> tuple[str, ...]:
    metres = plain_number(load.metres) if load.metres is not None else ""
    return str(load.week), str(load.sessions if load.sessions is not None else ""), metres


def _list_load(args: Namespace, ctx: Context) -> int:
    from tracker.app.entries import list_entries
    from tracker.model.event import Load

    kept = list_entries(ctx.session_to_read, Load, args.week)
    return print_entries(ctx, "weeks", kept, ("week", "sessions", "metres"), _cells_load)


def _delete_load(args: Namespace, ctx: Context) -> int:
    from tracker.app.entries import find_entry
    from tracker.model.event import Load

    old = find_entry(ctx.session_to_read, Load, number_of(args.week, "load"))
    return delete_one(ctx, old, load_words(old.record), yes=args.yes)
