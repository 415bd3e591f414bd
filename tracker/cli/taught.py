"""``slackwater taught``: what verdicts rest on beside the swimmer's own tests."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context

EXAMPLE = """slackwater taught
slackwater taught --json"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""


def run(_args: Namespace, ctx: Context) -> int:
    """Print what the roster taught, and the second opinion."""
    from tracker.output.teaching_words import teaching_json, teaching_lines
    from tracker.usecases.explain_teaching import explain_teaching

    teaching = explain_teaching(ctx.store_to_read, as_of=ctx.as_of, settings=ctx.settings)
    if ctx.json:
        ctx.say.json(teaching_json(teaching))
        return 0
    for line in teaching_lines(teaching):
        ctx.say.line(line)
    return 0
