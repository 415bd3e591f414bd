"""``slackwater drill``: what the swimmer does."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.cli.work import add_verbs, run_work

EXAMPLE = '''slackwater drill "Ines Aalto" start "side kick to the left" --fault breath-late --per-week 3
slackwater drill "Ines Aalto" stop "side kick"'''


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    add_verbs(parser, "drill", '"side kick to the left"')


def run(args: Namespace, ctx: Context) -> int:
    """Start or stop a drill."""
    return run_work(args, ctx, "drill")
