"""``slackwater cue``: what the swimmer thinks."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.cli.work import add_verbs, run_work

EXAMPLE = '''slackwater cue "Ines Aalto" start "face back before the hand" --fault breath-late
slackwater cue "Ines Aalto" stop "face back"'''


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    add_verbs(parser, "cue", '"face back before the hand"')


def run(args: Namespace, ctx: Context) -> int:
    """Start or stop a cue."""
    return run_work(args, ctx, "cue")
