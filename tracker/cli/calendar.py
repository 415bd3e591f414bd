"""``slackwater calendar``: the dates ahead, as a list or as a calendar file."""

from __future__ import annotations

from argparse import Namespace
from typing import TYPE_CHECKING

from tracker.cli.parsing import Parser
from tracker.cli.scan import add_executor_flags, check_group, executor_of
from tracker.cli.standard_input import place_to_write
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.output.sentences.numbers import count

if TYPE_CHECKING:
    from tracker.app.dates_ahead import DatesAhead

CALENDAR_EXAMPLE = """slackwater calendar --group Masters
slackwater calendar --to dates.ics --force"""


def calendar_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--group", metavar="G", help="only this group")
    parser.add_argument("--to", metavar="FILE.ics", help="write a calendar file (RFC 5545; extra 'calendar')")
    parser.add_argument("--force", action="store_true", help="replace a file that exists")
    add_executor_flags(parser)


def run_calendar(args: Namespace, ctx: Context) -> int:
    """Print the dates, or write them into a file."""
    from tracker.app.dates_ahead import list_dates, write_calendar

    if args.force and args.to is None:
        raise UsageError("--force replaces the file of --to; name one")
    if args.group is not None:
        check_group(args.group, ctx)
    session, executor = ctx.session_to_read, executor_of(args)
    if args.to is None:
        found = list_dates(session, group=args.group, executor=executor)
        _print(found, ctx)
    else:
        path = place_to_write(args.to, "--to")
        found = write_calendar(session, path, group=args.group, force=args.force, executor=executor)
        if ctx.json:
            ctx.say.json({"schema": 1, "written": str(path), "dates": len(found.dates)})
        else:
            ctx.say.line(str(path))
            ctx.say.said(f"{count(len(found.dates), 'date')} written.")
    for name, why in found.left_out:
        ctx.say.warned(f"{name}: left out; {why}")
    return 0


def _print(found: DatesAhead, ctx: Context) -> None:
    from tracker.output.dates_as_json import dates_json
    from tracker.output.sentences.due import date_reason

    if ctx.json:
        ctx.say.json(dates_json(found.dates, found.left_out, ctx.as_of))
        return
    rows = [
        (one.date.isoformat(), str(one.kind), one.swimmer, one.group, date_reason(one, ctx.as_of))
        for one in found.dates
    ]
    ctx.say.table(("date", "what", "swimmer", "group", "why then"), rows)
