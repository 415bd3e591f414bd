"""``slackwater load``: what was swum in a week."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.archived import say_archived
from tracker.cli.entries import delete_one, number_of, print_entries
from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.output.event_words import load_words
from tracker.records.units import plain_number

if TYPE_CHECKING:
    from tracker.records.event import Load

EXAMPLE = """slackwater load "Ines Aalto" 2026-06-22 --sessions 3 --metres 7800
slackwater load list "Ines Aalto"
slackwater load delete 12 --yes"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label; or list or delete")
    parser.add_argument(
        "week", metavar="WEEK", help="any day of the week, YYYY-MM-DD; after list NAME, after delete ID"
    )
    parser.add_argument("--sessions", metavar="N", default="", help="how many sessions")
    parser.add_argument("--metres", metavar="M", default="", help="how many metres")
    parser.add_argument("--yes", action="store_true", help="for delete: don't ask")


def run(args: Namespace, ctx: Context) -> int:
    """Log the week and print it; or list or delete weeks."""
    if args.name in {"list", "delete"}:
        return _list(args, ctx) if args.name == "list" else _delete(args, ctx)
    from tracker.usecases.log_event import log_load

    form = {"swimmer": args.name, "week": args.week, "sessions": args.sessions, "metres": args.metres}
    load, replaced = log_load(ctx.store, form, as_of=ctx.as_of, **ctx.written_by)
    say_archived([load.swimmer], ctx)
    if ctx.json:
        ctx.say.json({"schema": 1, **load.model_dump(mode="json")})
    else:
        ctx.say.line(f"{load.swimmer}, {load_words(load)}")
    if replaced:
        ctx.say.said("replaces what was logged for that week before")
    return 0


def _cells(load: Load) -> tuple[str, ...]:
    metres = plain_number(load.metres) if load.metres is not None else ""
    return str(load.week), str(load.sessions if load.sessions is not None else ""), metres


def _list(args: Namespace, ctx: Context) -> int:
    from tracker.records.event import Load
    from tracker.usecases.list_entries import list_entries

    kept = list_entries(ctx.store_to_read, Load, args.week)
    return print_entries(ctx, "weeks", kept, ("week", "sessions", "metres"), _cells)


def _delete(args: Namespace, ctx: Context) -> int:
    from tracker.records.event import Load
    from tracker.usecases.list_entries import find_entry

    old = find_entry(ctx.store_to_read, Load, number_of(args.week, "load"))
    return delete_one(ctx, old, load_words(old.record), yes=args.yes)
