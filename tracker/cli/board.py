"""``slackwater board``: every fault of the roster that is not done with, and what is in use against it."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context

EXAMPLE = """slackwater board
slackwater board --group Masters --json"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--group", metavar="G", help="only this group")


def run(args: Namespace, ctx: Context) -> int:
    """Print the faults, what waits for somebody first."""
    from tracker.usecases.faults_in_hand import faults_in_hand

    found = faults_in_hand(ctx.store_to_read, as_of=ctx.as_of)
    found = [one for one in found if args.group in {None, one.group}]
    if ctx.json:
        faults = [
            {
                "swimmer": one.swimmer,
                "group": one.group,
                "fault": one.fault,
                "side": one.side,
                "state": one.state,
                "severity": one.severity,
                "since": one.since.isoformat(),
                "days": one.days,
                "in_use": list(one.in_use),
                "reason": one.reason,
            }
            for one in found
        ]
        ctx.say.json({"schema": 1, "as_of": ctx.as_of.isoformat(), "faults": faults})
        return 0
    rows = [
        (
            one.state,
            one.swimmer,
            f"{one.fault}{f' ({one.side})' if one.side else ''}",
            str(one.severity or ""),
            one.since.isoformat(),
            str(one.days),
            "; ".join(one.in_use),
            " ".join(one.reason.split()),
        )
        for one in found
    ]
    ctx.say.table(("state", "swimmer", "fault", "severity", "since", "days", "in use", "reason"), rows)
    return 0
