"""The calculators: `css`, `pace`, `stroke`, `angle`; no database."""

from __future__ import annotations

import re
from argparse import Namespace
from dataclasses import asdict

from tracker.cli.parsing import Parser, Problems, least_zero_list, number_list, swim_times, whatever_is_wrong
from tracker.cli.plausible import TypedSwim, check_css_pace, check_rate, refuse_too_fast, remark_slow
from tracker.cli.wiring import Context
from tracker.entry.times import parse_number, shown
from tracker.errors import Problem, UsageError
from tracker.model.css import (
    SET_DISTANCES,
    SET_RESTS_S,
    TRIAL_ERROR,
    critical_rate,
    critical_speed,
    set_paces,
)
from tracker.model.geometry import angle_deg
from tracker.model.stroke import stroke_of_length
from tracker.model.text import clean_line
from tracker.model.units import YARD_M, format_time, pace_per_100, speed
from tracker.output.sentences.data import CAVEAT, css_details, css_json, css_sentence, set_rows
from tracker.output.sentences.numbers import count

CSS_EXAMPLE = """slackwater css 6:40 3:10
slackwater css 7:10 3:25 1:36 --distances 400,200,100 --strokes 352,164,76"""


def css_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("times", nargs="+", metavar="TIME", help="the 400, then the 200; or one a distance")
    parser.add_argument(
        "--distances", metavar="M,M[,M...]", default="400,200", help="their metres (%(default)s)"
    )
    parser.add_argument(
        "--strokes", metavar="N,N[,N...]", help="arm strokes of each whole swim, for the rate"
    )
    parser.add_argument(
        "--error",
        metavar="PERCENT",
        default=f"{100 * TRIAL_ERROR:g}",
        help="typical error of one trial, an assumption (%(default)s)",
    )


def run_css(args: Namespace, ctx: Context) -> int:
    """Print the critical swim speed with its interval and distances."""
    with whatever_is_wrong() as problems:
        distances = number_list(args.distances.split(","), "--distances", problems)
        times = swim_times(args.times, distances, "time", ctx.settings, problems)
        error = number_list([args.error], "--error", problems)
        strokes = number_list(args.strokes.split(","), "--strokes", problems) if args.strokes else []
    if len(times) != len(distances):
        raise UsageError(
            f"{count(len(times), 'time')} for {count(len(distances), 'distance')} ({args.distances}); "
            "give one each"
        )
    if strokes and len(strokes) != len(times):
        raise UsageError(
            f"{count(len(strokes), 'stroke count')} for {count(len(times), 'time')}; give one each"
        )
    typed = zip(args.times, distances, times, strict=True)
    swims = [TypedSwim("time", text, metres, seconds) for text, metres, seconds in typed]
    refuse_too_fast(swims, ctx)
    css = critical_speed(distances, times)
    check_css_pace(css.pace, ctx)
    for taken, seconds in zip(strokes, times, strict=False):
        check_rate("--strokes", f"{taken:g}", 30.0 * taken / seconds)
    remark_slow(swims, ctx)
    rate = critical_rate([taken / 2 for taken in strokes], times) if strokes else None
    if ctx.json:
        ctx.say.json(css_json(css, error[0] / 100, rate))
        return 0
    ctx.say.line(css_sentence(css, error=error[0] / 100))
    for line in css_details(css, rate):
        ctx.say.line(line)
    low, high = ctx.settings.ratio_warn_low, ctx.settings.ratio_warn_high
    if css.distances_m == (200.0, 400.0) and not low <= css.times_s[1] / css.times_s[0] <= high:
        ratio = css.times_s[1] / css.times_s[0]
        ctx.say.warned(f"unusual: the 400 took {ratio:.3f} times the 200 (usual: {low:g} to {high:g})")
    return 0


PACE_EXAMPLE = """slackwater pace 6:40 400
slackwater pace 6:02 400yd
slackwater pace --css 1:45"""

_DISTANCE = re.compile(r"(\d{1,6}(?:\.\d{1,3})?)\s*(m|yd)?", re.ASCII)


def pace_arguments(parser: Parser) -> None:
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


def run_pace(args: Namespace, ctx: Context) -> int:
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


STROKE_EXAMPLE = """slackwater stroke 25 18 26.0
slackwater stroke 25 18 26.0 --push-off 5 --push-off-time 2.5"""


def stroke_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("length", metavar="LENGTH", help="metres of the length")
    parser.add_argument("count", metavar="COUNT", help="arm strokes, both arms counted")
    parser.add_argument("time", metavar="TIME", help="time of the length")
    parser.add_argument(
        "--push-off", metavar="M", help="metres to the first hand entry (default: an assumption)"
    )
    parser.add_argument("--push-off-time", metavar="S", help="seconds to the first hand entry")


def run_stroke(args: Namespace, ctx: Context) -> int:
    """Print what one counted and timed length says."""
    with whatever_is_wrong() as problems:
        length = number_list([args.length], "length", problems)
        count = number_list([args.count], "count", problems)
        time = swim_times([args.time], length, "time", ctx.settings, problems)
        off = [args.push_off] if args.push_off is not None else []
        off_m = least_zero_list(off, "--push-off", problems)
        off_time = [args.push_off_time] if args.push_off_time is not None else []
        off_s = least_zero_list(off_time, "--push-off-time", problems)
    swims = [TypedSwim("time", args.time, length[0], time[0])]
    refuse_too_fast(swims, ctx)
    stroke = stroke_of_length(
        length[0],
        count[0],
        time[0],
        off_m[0] if off_m else ctx.settings.push_off_m,
        off_s[0] if off_s else None,
    )
    check_rate("count", args.count, stroke.rate_cpm)
    remark_slow(swims, ctx)
    estimated = not (off_m and off_s)
    if ctx.json:
        numbers = {key: round(value, 6) for key, value in asdict(stroke).items() if key != "estimated"}
        ctx.say.json({"schema": 1, **numbers, "estimated": estimated})
        return 0
    ctx.say.line(f"stroke length {stroke.per_stroke_m:.3f} m a stroke, {stroke.per_cycle_m:.3f} m a cycle")
    ctx.say.line(f"stroke rate {stroke.rate_cpm:.1f} cycles/min ({2 * stroke.rate_cpm:.1f} strokes/min)")
    ctx.say.line(f"clean speed {stroke.speed:.4f} m/s; stroke index {stroke.index:.3f} m2/s")
    ctx.say.line(
        f"strokes + seconds {stroke.score:g} (compare only with your own in the same pool, "
        "at the same pace and start; lower is not always better)"
    )
    if estimated:
        ctx.say.line("estimated: the push-off was assumed; measure --push-off and --push-off-time")
    return 0


ANGLE_EXAMPLE = "slackwater angle 320,110 410,205 352,318"


def angle_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("points", nargs=3, metavar="X,Y", help="hip, knee, ankle as pixels of one still")


def run_angle(args: Namespace, ctx: Context) -> int:
    """Print the angle."""
    with whatever_is_wrong() as problems:
        points = [_point(text, problems) for text in args.points]
    angle = angle_deg(*points)
    if ctx.json:
        ctx.say.json({"schema": 1, "angle_deg": round(angle, 4), "points": [list(point) for point in points]})
        return 0
    ctx.say.line(f"{angle:.1f} degrees")
    ctx.say.said(
        "One camera sees an angle right only when it looks square at its plane; read twice and compare."
    )
    return 0


def _point(text: str, problems: Problems) -> tuple[float, float]:
    try:
        x, y = text.split(",")
        return parse_number(x), parse_number(y)
    except ValueError:
        problems.append(
            Problem("point", clean_line(text), f"{shown(text)} is no point; write x,y such as 320,110")
        )
        return 0.0, 0.0
