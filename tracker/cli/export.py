"""``slackwater export``: the whole club as a folder of CSV."""

from __future__ import annotations

from argparse import Namespace
from pathlib import Path

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.output.numbers import count
from tracker.usecases.export_club import export_club

EXAMPLE = """slackwater export club-2026-06
slackwater export club --force"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("folder", metavar="DIR", help="made if it is not there")
    parser.add_argument("--force", action="store_true", help="replace files that are there")


def run(args: Namespace, ctx: Context) -> int:
    """Export, and print which files were written."""
    report = export_club(ctx.store_to_read, Path(args.folder), force=args.force, settings=ctx.settings)
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "folder": str(report.folder),
                "written": dict(report.written),
                "health_left_out": report.health_left_out,
            }
        )
    else:
        for file, rows in report.written.items():
            ctx.say.line(f"{report.folder / file}: {count(rows, 'row')}")
    if report.health_left_out:
        ctx.say.warned(
            f"note: {count(report.health_left_out, 'event')} about health left out (config: health)"
        )
    return 0
