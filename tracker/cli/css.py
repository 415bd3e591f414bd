"""``slackwater css``: critical swim speed from trials; no database."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.plausible import TypedSwim, check_css_pace, check_rate, refuse_too_fast, remark_slow
from tracker.cli.values import number_list, swim_times, whatever_is_wrong
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.output.css_words import css_details, css_json, css_sentence
from tracker.output.numbers import count
from tracker.records.css import TRIAL_ERROR, critical_rate, critical_speed

EXAMPLE = """slackwater css 6:40 3:10
slackwater css 7:10 3:25 1:36 --distances 400,200,100 --strokes 352,164,76"""


def add_arguments(parser: Parser) -> None:
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


def run(args: Namespace, ctx: Context) -> int:
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
    ctx.say.line(css_sentence(css, error[0] / 100))
    for line in css_details(css, rate):
        ctx.say.line(line)
    low, high = ctx.settings.ratio_warn_low, ctx.settings.ratio_warn_high
    if css.distances_m == (200.0, 400.0) and not low <= css.times_s[1] / css.times_s[0] <= high:
        ratio = css.times_s[1] / css.times_s[0]
        ctx.say.warned(f"unusual: the 400 took {ratio:.3f} times the 200 (usual: {low:g} to {high:g})")
    return 0
