"""``slackwater calibrate``: the cut for a declared rate of false plateaus, on this roster's calendars."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import UsageError

EXAMPLE = """slackwater calibrate
slackwater calibrate --rate 0.02 --json"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "--rate",
        metavar="R",
        help="false plateaus a swimmer-year put up with (default: 0.05)",
        default="0.05",
    )


def run(args: Namespace, ctx: Context) -> int:
    """Simulate, and print the rates and the cut."""
    from tracker.entry.times import parse_number
    from tracker.output.cut_words import cut_json, cut_lines
    from tracker.usecases.calibrate_cut import calibrate_cut

    try:
        declared = parse_number(args.rate)
    except ValueError as wrong:
        raise UsageError(f"--rate: {wrong}") from None
    if not 0 < declared < 1:
        raise UsageError(f"--rate: {args.rate} is not between 0 and 1")
    found = calibrate_cut(ctx.store_to_read, as_of=ctx.as_of, settings=ctx.settings)
    if ctx.json:
        ctx.say.json(cut_json(found, declared, ctx.settings.cut))
        return 0
    for line in cut_lines(found, declared, ctx.settings.cut):
        ctx.say.line(line)
    return 0
