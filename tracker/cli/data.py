"""``slackwater import`` and ``export``: the club's data in and out."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Any

from tracker.cli.judge import order_of
from tracker.cli.parsing import Parser, number_list, whatever_is_wrong
from tracker.cli.remedies import COMMAND_LINE
from tracker.cli.standard_input import file_or_input, place_to_write
from tracker.cli.wiring import Context
from tracker.entry.text_file import FileLimits
from tracker.errors import BadFileError, Problem, SomeFailedError
from tracker.output.sentences.numbers import count

if TYPE_CHECKING:
    from tracker.app.import_club import ImportReport


IMPORT_EXAMPLE = """slackwater import club/ --dry-run
slackwater import results.xlsx --map results.toml
slackwater import swims.csv --date-format dmy
slackwater import mine.csv --swimmer "Ines Aalto" --test t400 --course SCM

results.toml says what the columns of results.xlsx mean; every line is optional:
  file = "swims"             # what the rows are, if the header does not tell
  date_format = "dmy"        # order of day, month and year
  distance_unit = "yards"    # or "m", which it is otherwise
  clock = "minutes"          # what a spreadsheet's 6:45 means; or "hours"
  [columns]                  # "name in the file" = "our column"
  "Wann" = "date"
  "Wer" = "swimmer"
  "Wie weit" = "distance_m"
  "Wie lange" = "time"
  [fixed]                    # our column = "what stands for empty cells"
  course = "SCY"
"""

_SHOWN = 50
"""Lines of one sort that are printed; --json prints all."""


def import_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    from tracker.model.club_layout import SWIMS

    columns = fill(
        f"Columns of swims: {', '.join(SWIMS.columns)}.", 98, initial_indent="  ", subsequent_indent="  "
    )
    parser.epilog = f"{parser.epilog}\n{columns}"
    parser.add_argument(
        "path",
        metavar="FILE|DIR",
        help="CSV or XLSX; a folder of them is the whole club; '-' for standard input",
    )
    parser.add_argument("--dry-run", action="store_true", help="say what would happen, store nothing")
    parser.add_argument("--strict", action="store_true", help="store nothing if a single row is refused")
    parser.add_argument("--map", metavar="FILE", help="what the columns mean (TOML; below)")
    parser.add_argument(
        "--swimmer",
        metavar="NAME",
        default="",
        help="whose swims they are where no column says (default: the only swimmer)",
    )
    parser.add_argument("--test", metavar="T", default="", help="which test was swum where no column says")
    parser.add_argument(
        "--course",
        metavar="C",
        default="",
        help="where it was swum where no column says (default: the usual pool)",
    )
    parser.add_argument(
        "--date-format", metavar="F", help="order of day, month and year where dates are not ISO: dmy, mdy"
    )
    parser.add_argument(
        "--clock",
        metavar="minutes|hours",
        choices=("", "minutes", "hours"),
        default="",
        help="what a spreadsheet's time of day 6:45 means",
    )
    parser.add_argument(
        "--max-rows", metavar="N", default=str(FileLimits.rows), help="rows of one file (%(default)s)"
    )
    parser.add_argument(
        "--max-size",
        metavar="MB",
        default=f"{FileLimits.megabytes:g}",
        help="size of one file, MB (%(default)s)",
    )


def run_import(args: Namespace, ctx: Context) -> int:
    """Import and report.

    Raises
    ------
    SomeFailedError
        If rows were refused; the others are stored, or would be.
    BadFileError
        If not one row was read, or rows were refused and, with --strict, nothing is stored.
    """
    from tracker.app.import_club import import_club
    from tracker.entry.headers import NO_MAP, read_column_map

    with whatever_is_wrong() as problems:
        rows = number_list([args.max_rows], "--max-rows", problems)
        size = number_list([args.max_size], "--max-size", problems)
    order = None if args.date_format is None else order_of(args.date_format)
    columns = NO_MAP if args.map is None else read_column_map(Path(args.map))
    with file_or_input(args.path) as path:
        report = import_club(
            ctx.session,
            path,
            dry_run=args.dry_run,
            strict=args.strict,
            date_format=order,
            columns=columns,
            clock=args.clock,
            swimmer=args.swimmer,
            test=args.test,
            course=args.course,
            max_rows=int(rows[0]),
            max_size_mb=size[0],
        )
    if ctx.json:
        ctx.say.json(_json(report))
    else:
        _say(report, ctx)
    if report.unread:
        raise BadFileError(report.unread.text, report.unread.remedy)
    refused = f"{count(report.refused, 'row')} of {args.path} refused"
    if report.problems and args.strict:
        raise BadFileError(f"{refused}, so nothing {'would be' if args.dry_run else 'was'} stored")
    if report.problems:
        rest = f"; the rest {'would be' if args.dry_run else 'is'} stored" if report.added else ""
        raise SomeFailedError(refused + rest)
    return 0


def _say(report: ImportReport, ctx: Context) -> None:
    from tracker.output.cautions import cautions_of_many
    from tracker.output.sentences.data import added_words
    from tracker.output.sentences.doubts import doubt_sentence

    verb = "stored" if report.stored else "nothing stored; would store"
    if not report.unread:
        ctx.say.line(f"{verb}: {added_words(report.added)}")
    for rows, words in (
        (report.known, "already there"),
        (report.filled, "filled in where they were empty"),
        (report.refused, "refused"),
        (len(report.doubts), "doubtful, not counted before 'slackwater swim keep'"),
    ):
        if rows:
            ctx.say.line(f"{count(rows, 'row')} {words}")
    _list([problem.worded(COMMAND_LINE) for problem in report.problems], "refused", ctx)
    _list(
        [
            f"{doubt.file}:{doubt.row}: {doubt.swim.swimmer}, {doubt.swim.date}: "
            f"{'; '.join(doubt_sentence(one) for one in doubt.doubts)}"
            for doubt in report.doubts
        ],
        "doubtful",
        ctx,
    )
    _list([remark.worded(COMMAND_LINE) for remark in report.remarks], "note", ctx)
    ctx.say.cautioned(cautions_of_many(report.cautions))
    _list([f"{new} is new" for new in report.created], "note", ctx)
    _list([f"{new} looks much like {old}; are they two people?" for new, old in report.similar], "note", ctx)


def _list(lines: list[str], sort: str, ctx: Context) -> None:
    for line in lines[:_SHOWN]:
        ctx.say.warned(f"{sort}: {line}")
    if len(lines) > _SHOWN:
        ctx.say.warned(f"{sort}: {len(lines) - _SHOWN} more like these; --json lists all")


def _json(report: ImportReport) -> dict[str, Any]:
    from tracker.output.sentences.doubts import doubt_sentence

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
        "why": problem.reason_in(COMMAND_LINE),
    }


EXPORT_EXAMPLE = """slackwater export club/
slackwater export club/ --format csv,xlsx,jsonl --force"""


def export_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("folder", metavar="DIR", help="where to; made if it is not there")
    parser.add_argument("--format", metavar="F[,F...]", default="csv", help="csv, xlsx, jsonl (default: csv)")
    parser.add_argument("--force", action="store_true", help="replace files that exist")


def run_export(args: Namespace, ctx: Context) -> int:
    """Export and say what was written."""
    from tracker.app.export_club import export_club

    formats = tuple(name.strip() for name in args.format.split(",") if name.strip())
    report = export_club(ctx.session_to_read, place_to_write(args.folder), force=args.force, formats=formats)
    ctx.say_noted(noted=report.noted)
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "folder": str(report.folder),
                "files": dict(report.written),
                "health_left_out": report.health_left_out,
            }
        )
        return 0
    for name, rows in report.written.items():
        ctx.say.line(f"{report.folder / name}: {count(rows, 'row')}")
    if report.health_left_out:
        ctx.say.warned(
            f"note: {count(report.health_left_out, 'event')} about health left out (setting: health)"
        )
    return 0
