"""``slackwater judge``: verdicts for any CSV of series, without a database."""

from __future__ import annotations

import datetime as dt
from argparse import Namespace
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tracker.cli.parsing import Parser
from tracker.cli.remedies import COMMAND_LINE
from tracker.cli.standard_input import file_or_input
from tracker.cli.wiring import Context
from tracker.entry.dates import parse_order
from tracker.entry.series_table import UnusedRow
from tracker.entry.times import parse_number
from tracker.errors import SomeFailedError, UsageError
from tracker.output.sentences.numbers import count
from tracker.settings import Settings

if TYPE_CHECKING:
    from tracker.app.judge import Judged

JUDGE_EXAMPLE = """slackwater judge tests.csv --json
slackwater judge tests.csv --events events.csv --date-format dmy
cat tests.csv | slackwater judge -"""


def judge_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "file",
        metavar="FILE",
        help="CSV with swimmer, date, pace and what else is known; '-' for standard input",
    )
    parser.add_argument("--events", metavar="FILE", help="CSV with from, to, swimmer, kind")
    parser.add_argument(
        "--date-format", metavar="F", help="order of dates that are not ISO 8601: dmy, mdy, ymd"
    )
    parser.add_argument("--band", metavar="P", help="half-width of 'no change', percent a month")


def run_judge(args: Namespace, ctx: Context) -> int:
    """Print a verdict for every swimmer of the file.

    Raises
    ------
    SomeFailedError
        If some rows could not be used; the verdicts are printed all the same.
    """
    from tracker.app.judge_file import judge_file

    settings = ctx.settings if args.band is None else _banded(ctx.settings, args.band)
    order = None if args.date_format is None else order_of(args.date_format)
    events = None if args.events is None else Path(args.events)
    today = max(ctx.as_of, ctx.now.astimezone().date())
    with file_or_input(args.file) as file:
        judged = judge_file(
            file,
            events=events,
            date_format=order,
            as_of=ctx.as_of_given,
            today=today,
            settings=settings,
        )
    unused = [replace(row, reason=COMMAND_LINE.after(row.reason, row.remedy)) for row in judged.unused]
    _print(judged, unused, ctx, today)
    if judged.left_out:
        from tracker.output.sentences.reasons import left_out_lines

        ctx.say.said(f"{args.file}: {' '.join(left_out_lines(judged.left_out))}")
    elif not judged.verdicts:
        until = "" if ctx.as_of_given is None else f" on or before {ctx.as_of_given.isoformat()}"
        ctx.say.warned(f"{args.file} has no test to judge{until}")
    if unused:
        for row in unused if not ctx.json else ():
            ctx.say.warned(f"{row.file or args.file}:{row.row}: {row.reason}")
        rest = "; the rest was" if judged.verdicts else ""
        files = Counter(row.file or args.file for row in unused)
        said = " and ".join(f"{count(rows, 'row')} of {file}" for file, rows in files.items())
        raise SomeFailedError(f"{said} not used{rest}")
    return 0


def _print(judged: Judged, unused: Sequence[UnusedRow], ctx: Context, today: dt.date) -> None:
    if ctx.json:
        from tracker.output.judge_as_json import judge_json

        ctx.say.json(judge_json(judged.verdicts, unused, judged.as_of, judged.left_out))
        return
    from tracker.output.sentences.two_dates import two_dates
    from tracker.output.sentences.verdict import ALWAYS_EASY, headline

    said = {one.swimmer: ALWAYS_EASY for one in judged.left_out}
    for verdict in judged.verdicts:
        parts = (headline(verdict, today), two_dates(verdict, today))
        said[verdict.swimmer] = " ".join(part for part in parts if part)
    for swimmer in sorted(said):
        ctx.say.line(f"{swimmer}: {said[swimmer]}")


def _banded(settings: Settings, text: str) -> Settings:
    try:
        band = parse_number(text)
    except ValueError as wrong:
        raise UsageError(f"--band: {wrong}") from None
    if not 0 < band < 10:
        raise UsageError(f"--band: {text!r} is not between 0 and 10 percent a month")
    return replace(settings, band=band)


def order_of(text: str) -> str:
    """Return the order that --date-format names; raises `UsageError`."""
    try:
        return parse_order(text)
    except ValueError as wrong:
        raise UsageError(f"--date-format: {wrong}") from None
