"""``slackwater export``: the whole club out."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.standard_input import place_to_write
from tracker.cli.wiring import Context
from tracker.output.numbers import count

EXAMPLE = """slackwater export club/
slackwater export club/ --format csv,xlsx,jsonl --force"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("folder", metavar="DIR", help="where to; made if it is not there")
    parser.add_argument("--format", metavar="F[,F...]", default="csv", help="csv, xlsx, jsonl (default: csv)")
    parser.add_argument("--force", action="store_true", help="replace files that exist")


def run(args: Namespace, ctx: Context) -> int:
    """Export and say what was written."""
    from tracker.usecases.export_club import export_club

    formats = tuple(name.strip() for name in args.format.split(",") if name.strip())
    report = export_club(
        ctx.store_to_read,
        place_to_write(args.folder),
        force=args.force,
        formats=formats,
        settings=ctx.settings,
        at=ctx.now,
    )
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
