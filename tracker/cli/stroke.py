"""``slackwater stroke``: stroke length, rate and index of one length; no database."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import asdict

from tracker.cli.parsing import Parser
from tracker.cli.plausible import TypedSwim, check_rate, refuse_too_fast, remark_slow
from tracker.cli.values import least_zero_list, number_list, swim_times, whatever_is_wrong
from tracker.cli.wiring import Context
from tracker.records.stroke import stroke_of_length

EXAMPLE = """slackwater stroke 25 18 26.0
slackwater stroke 25 18 26.0 --push-off 5 --push-off-time 2.5"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("length", metavar="LENGTH", help="metres of the length")
    parser.add_argument("count", metavar="COUNT", help="arm strokes, both arms counted")
    parser.add_argument("time", metavar="TIME", help="time of the length")
    parser.add_argument(
        "--push-off", metavar="M", help="metres to the first hand entry (default: an assumption)"
    )
    parser.add_argument("--push-off-time", metavar="S", help="seconds to the first hand entry")


def run(args: Namespace, ctx: Context) -> int:
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
    ctx.say.line(f"strokes + seconds {stroke.score:g} (same pool and same start only; lower is better)")
    if estimated:
        ctx.say.line("estimated: the push-off was assumed; measure --push-off and --push-off-time")
    return 0
