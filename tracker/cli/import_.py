"""``slackwater import``: a folder or file of CSV."""

from __future__ import annotations

from argparse import Namespace
from dataclasses import asdict
from pathlib import Path

from tracker.cli.judge import order_of
from tracker.cli.parsing import Parser
from tracker.cli.standard_input import file_or_input
from tracker.cli.values import number_list, whatever_is_wrong
from tracker.cli.wiring import Context
from tracker.entry.column_map import NO_MAP, read_column_map
from tracker.entry.text_file import FileLimits
from tracker.errors import BadFileError, Problem, SomeFailedError
from tracker.output.doubt_words import doubt_sentence
from tracker.output.numbers import count
from tracker.usecases.doubt_swims import DoubtfulSwim
from tracker.usecases.import_club import ImportReport, import_club

EXAMPLE = """slackwater import club --dry-run
slackwater import club
slackwater import tests.csv --date-format dmy"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "path", metavar="FILE|DIR", help="a folder of club files, or one file; '-' for standard input"
    )
    parser.add_argument("--dry-run", action="store_true", help="only say what would happen")
    parser.add_argument("--strict", action="store_true", help="store nothing if a single row is refused")
    parser.add_argument("--map", metavar="FILE", help="TOML file that says what the columns mean")
    parser.add_argument(
        "--date-format", metavar="F", help="order of dates that are not ISO 8601: dmy, mdy, ymd"
    )
    parser.add_argument(
        "--max-rows", metavar="N", default=str(FileLimits.rows), help="rows of a file (%(default)s)"
    )
    parser.add_argument(
        "--max-size",
        metavar="MB",
        default=f"{FileLimits.megabytes:g}",
        help="size of a file, MB (%(default)s)",
    )


def run(args: Namespace, ctx: Context) -> int:
    """Import, and print what was read, stored, doubted and refused.

    Raises
    ------
    SomeFailedError
        If rows were refused and the rest stored.
    BadFileError
        If rows were refused and, with --strict, nothing stored.
    """
    with whatever_is_wrong() as problems:
        rows = number_list([args.max_rows], "--max-rows", problems)
        size = number_list([args.max_size], "--max-size", problems)
    order = None if args.date_format is None else order_of(args.date_format)
    columns = NO_MAP if args.map is None else read_column_map(Path(args.map))
    with file_or_input(args.path) as path:
        report = import_club(
            ctx.store,
            path,
            dry_run=args.dry_run,
            strict=args.strict,
            date_format=order,
            columns=columns,
            max_rows=int(rows[0]),
            max_size_mb=size[0],
            as_of=ctx.as_of,
            settings=ctx.settings,
            **ctx.written_by,
        )
    if ctx.json:
        ctx.say.json(_json(report))
    else:
        _say(report, ctx, dry=args.dry_run)
    if report.refused and args.strict:
        raise BadFileError(f"{count(report.refused, 'row')} refused, so nothing was stored (--strict)")
    if report.refused:
        would = "would be" if args.dry_run else "are"
        raise SomeFailedError(f"{count(report.refused, 'row')} refused; the others {would} stored")
    return 0


def _say(report: ImportReport, ctx: Context, *, dry: bool) -> None:
    for file, rows in report.read.items():
        ctx.say.line(f"{file}: {count(rows, 'row')} read")
    verb = "stored" if report.stored and not dry else "to store"
    added = ", ".join(f"{rows} {stem}" for stem, rows in report.added.items())
    ctx.say.line(
        f"{verb}: {added or 'nothing new'}; there already: {report.known}; filled in: {report.filled}"
    )
    for label in report.created:
        ctx.say.warned(f"new swimmer: {label}")
    for label, other in report.similar:
        ctx.say.warned(f"note: {label} looks much like {other}; are they two people?")
    for remark in report.remarks:
        ctx.say.warned(f"note: {_said(remark)}")
    for doubtful in report.doubts:
        ctx.say.warned(f"doubtful: {_doubt(doubtful)}")
    for problem in report.problems:
        ctx.say.warned(f"refused: {_said(problem)}")


def _said(problem: Problem) -> str:
    return (
        f"{problem}{f' [{problem.value}]' if problem.value and problem.value not in problem.reason else ''}"
    )


def _doubt(doubtful: DoubtfulSwim) -> str:
    said = "; ".join(doubt_sentence(doubt) for doubt in doubtful.doubts)
    swim = doubtful.swim
    return (
        f"{doubtful.file}:{doubtful.row}: {swim.swimmer}, {swim.date}: {said}; doesn't count until you decide"
    )


def _json(report: ImportReport) -> dict[str, object]:
    return {
        "schema": 1,
        "stored": report.stored,
        "read": dict(report.read),
        "added": dict(report.added),
        "filled": report.filled,
        "known": report.known,
        "created": list(report.created),
        "similar": [list(pair) for pair in report.similar],
        "refused": [asdict(problem) for problem in report.problems],
        "remarks": [asdict(problem) for problem in report.remarks],
        "doubtful": [
            {"file": one.file, "row": one.row, "why": [doubt_sentence(doubt) for doubt in one.doubts]}
            for one in report.doubts
        ],
    }
