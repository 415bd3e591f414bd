"""``slackwater import``: a folder or file in."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from typing import Any

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.entry.column_map import NO_MAP, read_column_map
from tracker.entry.text_file import FileLimits
from tracker.errors import Problem
from tracker.output.doubt_words import doubt_sentence
from tracker.usecases.import_club import ImportReport, import_club

EXAMPLE = """slackwater import club/ --dry-run
slackwater import results.xlsx --map results.toml
slackwater import swims.csv --date-format dmy"""

_SHOWN = 50
"""Lines of one sort that are printed; --json prints all."""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("path", metavar="FILE|DIR", help="CSV or XLSX; a folder of them is the whole club")
    parser.add_argument("--dry-run", action="store_true", help="say what would happen, store nothing")
    parser.add_argument("--strict", action="store_true", help="store nothing if a single row is refused")
    parser.add_argument("--map", metavar="FILE", help="what the columns mean (TOML)")
    parser.add_argument(
        "--date-format", metavar="F", help="order of day, month and year where dates are not ISO: dmy, mdy"
    )
    parser.add_argument("--max-rows", metavar="N", type=int, default=FileLimits.rows, help="rows of one file")
    parser.add_argument(
        "--max-size", metavar="MB", type=float, default=FileLimits.megabytes, help="size of one file"
    )


def run(args: Namespace, ctx: Context) -> int:
    """Import and report; 3 if rows were refused, 4 if therefore nothing was stored."""
    report = import_club(
        ctx.store,
        Path(args.path),
        dry_run=args.dry_run,
        strict=args.strict,
        date_format=args.date_format,
        columns=read_column_map(Path(args.map)) if args.map else NO_MAP,
        max_rows=args.max_rows,
        max_size_mb=args.max_size,
        as_of=ctx.as_of,
        settings=ctx.settings,
        **ctx.written_by,
    )
    if ctx.json:
        ctx.say.json(_json(report))
    else:
        _say(report, ctx)
    if not report.problems:
        return 0
    return 4 if args.strict and not args.dry_run else 3


def _say(report: ImportReport, ctx: Context) -> None:
    added = ", ".join(f"{count} {stem}" for stem, count in report.added.items()) or "nothing new"
    verb = "stored" if report.stored else "nothing stored; would store"
    ctx.say.line(f"{verb}: {added}")
    for count, words in (
        (report.known, "already there"),
        (report.filled, "filled in where they were empty"),
        (report.refused, "refused"),
        (len(report.doubts), "doubtful: they count only after 'slackwater swim keep'"),
    ):
        if count:
            ctx.say.line(f"{count} {'row' if count == 1 else 'rows'} {words}")
    _list([f"{problem}" for problem in report.problems], "refused", ctx)
    _list(
        [
            f"{doubt.file}:{doubt.row}: {doubt.swim.swimmer}, {doubt.swim.date}: "
            f"{'; '.join(doubt_sentence(one) for one in doubt.doubts)}"
            for doubt in report.doubts
        ],
        "doubtful",
        ctx,
    )
    _list([f"{remark}" for remark in report.remarks], "note", ctx)
    _list([f"{new} is new" for new in report.created], "note", ctx)
    _list([f"{new} looks much like {old}; are they two people?" for new, old in report.similar], "note", ctx)


def _list(lines: list[str], sort: str, ctx: Context) -> None:
    for line in lines[:_SHOWN]:
        ctx.say.warned(f"{sort}: {line}")
    if len(lines) > _SHOWN:
        ctx.say.warned(f"{sort}: {len(lines) - _SHOWN} more like these; --json lists all")


def _json(report: ImportReport) -> dict[str, Any]:
    return {
        "schema": 1,
        "stored": report.stored,
        "read": dict(report.read),
        "added": dict(report.added),
        "filled": report.filled,
        "known": report.known,
        "created": list(report.created),
        "similar": [list(pair) for pair in report.similar],
        "refused": [_place(problem) for problem in report.problems],
        "remarks": [_place(remark) for remark in report.remarks],
        "doubtful": [
            {
                "file": doubt.file,
                "row": doubt.row,
                "swimmer": doubt.swim.swimmer,
                "date": doubt.swim.date.isoformat(),
                "why": [doubt_sentence(one) for one in doubt.doubts],
            }
            for doubt in report.doubts
        ],
    }


def _place(problem: Problem) -> dict[str, Any]:
    return {
        "file": problem.file,
        "row": problem.row,
        "column": problem.field,
        "value": problem.value,
        "why": problem.reason,
    }
