"""``slackwater calibrate`` and ``learned``: the levels of the words, and the priors a roster teaches."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.config_files import set_in_file
from tracker.cli.parsing import Parser
from tracker.cli.remedies import COMMAND_LINE
from tracker.cli.wiring import Context
from tracker.errors import UsageError

CALIBRATE_EXAMPLE = """slackwater calibrate
slackwater calibrate --rate 0.02 --json
slackwater calibrate --apply"""


def calibrate_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "--rate",
        metavar="R",
        help="false words of each kind a swimmer-year put up with (default: 0.05)",
        default="0.05",
    )
    parser.add_argument(
        "--rate-correlated",
        metavar="R",
        help="the same where neighbouring weeks share half of the variance (default: three times --rate)",
    )
    parser.add_argument(
        "--apply", action="store_true", help="write the levels found to the user's config file"
    )


def run_calibrate(args: Namespace, ctx: Context) -> int:
    """Simulate, print the rates and the levels, and apply them where asked."""
    from tracker.app.calibrate import calibrate
    from tracker.output.sentences.levels import Declared, levels_json, levels_lines

    plain = _rate("--rate", args.rate)
    shared = args.rate_correlated
    correlated = min(3 * plain, 0.99) if shared is None else _rate("--rate-correlated", shared)
    declared = Declared(plain, correlated)
    found = calibrate(ctx.session_to_read)
    chosen = found.enter(plain, correlated)
    if args.apply:
        for name, level in zip(SETTINGS, chosen, strict=True):
            set_in_file(ctx.dirs.config_files["user"], name, level)
    if ctx.json:
        ctx.say.json(levels_json(found, declared, applied=args.apply))
        return 0
    for line in levels_lines(found, declared, COMMAND_LINE, applied=args.apply):
        ctx.say.line(line)
    return 0


SETTINGS = ("gaining_from", "plateau_from", "slipping_from", "slowed_from")
"""The setting of each word's level, in the order of the engine's words."""


def _rate(flag: str, typed: str) -> float:
    from tracker.entry.times import parse_number

    try:
        found = parse_number(typed)
    except ValueError as wrong:
        raise UsageError(f"{flag}: {wrong}") from None
    if not 0 < found < 1:
        raise UsageError(f"{flag}: {typed} is not between 0 and 1")
    return found


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
