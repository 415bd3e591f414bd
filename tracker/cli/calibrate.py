"""``slackwater calibrate`` and ``learned``: the threshold, and the priors learned from the roster."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.remedies import COMMAND_LINE
from tracker.cli.wiring import Context
from tracker.errors import UsageError

CALIBRATE_EXAMPLE = """slackwater calibrate
slackwater calibrate --rate 0.02 --json"""


def calibrate_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "--rate",
        metavar="R",
        help="false plateaus a swimmer-year put up with (default: 0.05)",
        default="0.05",
    )


def run_calibrate(args: Namespace, ctx: Context) -> int:
    """Simulate, and print the rates and the cut."""
    from tracker.app.calibrate import calibrate_cut
    from tracker.entry.times import parse_number
    from tracker.output.sentences.roster import cut_json, cut_lines

    try:
        declared = parse_number(args.rate)
    except ValueError as wrong:
        raise UsageError(f"--rate: {wrong}") from None
    if not 0 < declared < 1:
        raise UsageError(f"--rate: {args.rate} is not between 0 and 1")
    found = calibrate_cut(ctx.session_to_read)
    if ctx.json:
        ctx.say.json(cut_json(found, declared, ctx.settings.cut))
        return 0
    for line in cut_lines(found, declared, ctx.settings.cut, COMMAND_LINE):
        ctx.say.line(line)
    return 0


TAUGHT_EXAMPLE = """slackwater taught
slackwater taught --json"""


def taught_arguments(parser: Parser) -> None:
    """Add what the command takes."""


def run_taught(_args: Namespace, ctx: Context) -> int:
    """Print the priors learned from the roster, and the second opinion."""
    from tracker.app.learned_priors import explain_learned_priors
    from tracker.output.sentences.priors import priors_json, priors_lines

    report = explain_learned_priors(ctx.session_to_read)
    if ctx.json:
        ctx.say.json(priors_json(report))
        return 0
    for line in priors_lines(report):
        ctx.say.line(line)
    return 0
