"""``slackwater changes`` and ``revisions``: what is different from what was told, and how told words held."""

from __future__ import annotations

import datetime as dt
from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.progress import progress_of
from tracker.cli.scan import add_executor_flags, executor_of
from tracker.cli.wiring import Context
from tracker.entry.dates import parse_date
from tracker.errors import UsageError

CHANGES_EXAMPLE = """slackwater changes
slackwater changes --since last
slackwater changes --since 2026-05-31 --json"""


def changes_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "--since",
        metavar="DATE|last",
        help="against what was told by that day; last: against what you were told by your last 'seen' "
        "(default: what was told last, of each swimmer)",
    )
    add_executor_flags(parser)


def run_changes(args: Namespace, ctx: Context) -> int:
    """Print what is different, worst first."""
    from tracker.app.changes import changes
    from tracker.app.faults import fault_names
    from tracker.output.changes_as_json import changes_json
    from tracker.output.sentences import changes as sentences

    since, mine = _since(args.since, ctx)
    found = changes(
        ctx.session_to_read,
        since=since,
        mine=mine,
        executor=executor_of(args),
        progress=progress_of("swimmers", ctx),
    )
    names = fault_names(ctx.session_to_read)
    if ctx.json:
        ctx.say.json(changes_json(found, names))
    else:
        for number, (title, lines) in enumerate(sentences.change_groups(found, names)):
            if number:
                ctx.say.line()
            ctx.say.line(title)
            for line in lines:
                ctx.say.line(f"  {line}")
        if not found.anything_told:
            ctx.say.said(f"{sentences.NOTHING_TOLD} 'page' and 'seen' keep what they tell.")
        elif not sentences.change_groups(found, names):
            ctx.say.said(sentences.NOTHING_DIFFERS)
    if remark := sentences.ahead_line(found.ahead, found.as_of):
        ctx.say.warned(f"warning: {remark}")
    return 0


def _since(text: str | None, ctx: Context) -> tuple[dt.date | None, bool]:
    """Return the day that is asked about, None for what was told last; and whether it is one's own."""
    from tracker.app.changes import LAST, last_look

    if text is None:
        return None, False
    if text.strip().lower() == LAST:
        return last_look(ctx.session_to_read), True
    try:
        return parse_date(text), False
    except ValueError as wrong:
        raise UsageError(f"--since: {wrong}, or 'last'") from None


REVISIONS_EXAMPLE = "slackwater revisions"


def revisions_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    add_executor_flags(parser)


def run_revisions(args: Namespace, ctx: Context) -> int:
    """Print how the words that were told held, a line a word."""
    from tracker.app.revisions import revisions
    from tracker.output.changes_as_json import revisions_json
    from tracker.output.sentences.changes import revision_lines

    found = revisions(ctx.session_to_read, executor=executor_of(args))
    if ctx.json:
        ctx.say.json(revisions_json(found))
        return 0
    for line in revision_lines(found):
        ctx.say.line(line)
    return 0
