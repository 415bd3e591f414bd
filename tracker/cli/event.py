"""``slackwater event``: something dated that may have moved the pace."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context

EXAMPLE = """slackwater event "Ines Aalto" layoff --from 2026-05-02 --to 2026-05-20 --note "moved house"
slackwater event "Ines Aalto" pool --from 2026-06-01 --note "summer in the 50 m pool\""""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label")
    parser.add_argument(
        "kind", metavar="KIND", help="layoff, pool, suit, race, camp or other; health: see config"
    )
    parser.add_argument("--from", dest="begins", metavar="D", default="", help="first day (default: today)")
    parser.add_argument("--to", dest="ends", metavar="D", default="", help="last day")
    parser.add_argument("--note", metavar="T", default="", help="in words; nothing about health")


def run(args: Namespace, ctx: Context) -> int:
    """Log the event and print it."""
    from tracker.usecases.log_event import log_event

    form = {
        "swimmer": args.name,
        "kind": args.kind,
        "from": args.begins,
        "to": args.ends,
        "note": args.note,
    }
    event = log_event(ctx.store, form, as_of=ctx.as_of, settings=ctx.settings, **ctx.written_by)
    if ctx.json:
        ctx.say.json({"schema": 1, **event.model_dump(mode="json")})
        return 0
    ends = f" to {event.to_date}" if event.to_date else ""
    note = f": {event.note}" if event.note else ""
    ctx.say.line(f"{event.swimmer}, {event.kind} from {event.from_date}{ends}{note}")
    return 0
