"""``slackwater load``: what was swum in a week."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context

EXAMPLE = 'slackwater load "Ines Aalto" 2026-06-22 --sessions 3 --metres 7800'


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", metavar="NAME", help="the swimmer's label")
    parser.add_argument("week", metavar="WEEK", help="any day of the week, YYYY-MM-DD")
    parser.add_argument("--sessions", metavar="N", default="", help="how many sessions")
    parser.add_argument("--metres", metavar="M", default="", help="how many metres")


def run(args: Namespace, ctx: Context) -> int:
    """Log the week and print it."""
    from tracker.usecases.log_event import log_load

    form = {"swimmer": args.name, "week": args.week, "sessions": args.sessions, "metres": args.metres}
    load, replaced = log_load(ctx.store, form, as_of=ctx.as_of, **ctx.written_by)
    if ctx.json:
        ctx.say.json({"schema": 1, **load.model_dump(mode="json")})
    else:
        sessions = f"{load.sessions} sessions" if load.sessions is not None else ""
        metres = f"{load.metres:g} m" if load.metres is not None else ""
        said = ", ".join(part for part in (sessions, metres) if part)
        ctx.say.line(f"{load.swimmer}, week of {load.week}: {said}")
    if replaced:
        ctx.say.said("replaces what was logged for that week before")
    return 0
