"""``slackwater leave``: leave swimmers alone until a date, or put a test or a look off."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import UsageError

LEAVE_EXAMPLE = """slackwater leave "Ines Aalto" --until 2026-07-10 --reason "exams"
slackwater leave "Ines Aalto" --what test --until 2026-07-10
slackwater leave                                  # who is left alone, until when and why"""


def leave_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("names", nargs="*", metavar="NAME", help="who; without, everybody left is listed")
    parser.add_argument("--until", metavar="D", help="the day it is asked for again; today ends it")
    parser.add_argument("--what", metavar="test|look", help="put this off only (default: everything)")
    parser.add_argument("--reason", metavar="T", help="why; needed where everything is left")


def run_leave(args: Namespace, ctx: Context) -> int:
    """Leave them, or list who is left."""
    from tracker.app.leave import leave_until, list_leaves
    from tracker.output.sentences.leave import leave_words

    typed = (args.until, args.what, args.reason)
    if not args.names and any(word is not None for word in typed):
        raise UsageError("say who is to be left (see 'slackwater leave --help')")
    if args.names:
        until, what, reason = (word or "" for word in typed)
        found = leave_until(ctx.session_to_read, args.names, until, what=what, reason=reason)
    else:
        found = list_leaves(ctx.session_to_read)
    if ctx.json:
        rows = [
            {
                "swimmer": one.swimmer,
                "what": one.what or None,
                "until": one.until.isoformat(),
                "reason": one.reason,
                "by": one.by,
                "since": one.since.isoformat(),
            }
            for one in found
        ]
        ctx.say.json({"schema": 1, "as_of": ctx.as_of.isoformat(), "left": rows})
        return 0
    for one in found:
        ctx.say.line(leave_words(one, ctx.as_of))
    if not found:
        ctx.say.said("Nobody is left alone, and nothing is put off.")
    return 0
