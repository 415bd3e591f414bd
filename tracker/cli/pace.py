"""``slackwater pace``: pace of a swim, or paces and send-offs from CSS; no database."""

from __future__ import annotations

import re
from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.plausible import TypedSwim, refuse_too_fast, remark_slow
from tracker.cli.values import number_list, swim_times, whatever_is_wrong
from tracker.cli.wiring import Context
from tracker.entry.times import shown
from tracker.errors import UsageError
from tracker.output.css_words import CAVEAT, set_rows
from tracker.records.css import SET_DISTANCES, SET_RESTS_S, set_paces
from tracker.records.units import YARD_M, format_time, pace_per_100, speed

EXAMPLE = """slackwater pace 6:40 400
slackwater pace 6:02 400yd
slackwater pace --css 1:45"""

_DISTANCE = re.compile(r"(\d{1,6}(?:\.\d{1,3})?)\s*(m|yd)?", re.ASCII)


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("time", nargs="?", metavar="TIME", help="time of the swim")
    parser.add_argument("distance", nargs="?", metavar="DISTANCE", help="metres, or yards as 400yd")
    parser.add_argument(
        "--css", metavar="TIME", help="CSS pace per 100 m: prints times and send-offs for sets"
    )
    parser.add_argument(
        "--rest",
        metavar="S[,S...]",
        default=",".join(map(str, SET_RESTS_S)),
        help="rests, seconds (%(default)s)",
    )


def run(args: Namespace, ctx: Context) -> int:
    """Print a pace, or the table of sets."""
    if (args.css is None) == (args.time is None or args.distance is None):
        raise UsageError("give either TIME and DISTANCE, or --css TIME (see 'slackwater pace --help')")
    return _sets(args, ctx) if args.css is not None else _one(args, ctx)


def _one(args: Namespace, ctx: Context) -> int:
    distance_m = _metres(args.distance)
    with whatever_is_wrong() as problems:
        time = swim_times([args.time], [distance_m], "time", ctx.settings, problems)
    _check(TypedSwim("time", args.time, distance_m, time[0]), ctx)
    pace, metres_a_second = pace_per_100(distance_m, time[0]), speed(distance_m, time[0])
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "distance_m": distance_m,
                "time_s": time[0],
                "pace": round(pace, 3),
                "speed": round(metres_a_second, 6),
            }
        )
        return 0
    ctx.say.line(f"{format_time(pace, 1)} per 100 m ({metres_a_second:.4f} m/s)")
    return 0


def _check(swim: TypedSwim, ctx: Context) -> None:
    refuse_too_fast([swim], ctx)
    remark_slow([swim], ctx)


def _metres(text: str) -> float:
    match = _DISTANCE.fullmatch(text.strip())
    if match is None or float(match[1]) <= 0:
        raise UsageError(f"distance: {shown(text)} is no distance; write metres (400) or yards (400yd)")
    return float(match[1]) * (YARD_M if match[2] == "yd" else 1.0)


def _sets(args: Namespace, ctx: Context) -> int:
    with whatever_is_wrong() as problems:
        css = swim_times([args.css], [100.0], "--css", ctx.settings, problems)
        rests = number_list(args.rest.split(","), "--rest", problems)
    _check(TypedSwim("--css", args.css, 100.0, css[0]), ctx)
    rows = set_paces(css[0], SET_DISTANCES, rests)
    if ctx.json:
        sets = [
            {
                "distance_m": row.distance_m,
                "time_s": round(row.time_s, 2),
                "send_offs_s": list(row.send_offs_s),
            }
            for row in rows
        ]
        ctx.say.json({"schema": 1, "css_pace": css[0], "rests_s": rests, "sets": sets})
        return 0
    ctx.say.table(("distance", "at CSS", *(f"{rest:g} s rest" for rest in rests)), set_rows(rows))
    ctx.say.said(f"Send-offs leave at least that rest, on the next 5 s of the clock. {CAVEAT}")
    return 0
