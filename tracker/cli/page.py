"""``slackwater page``: the monthly pages."""

from __future__ import annotations

import datetime as dt
import re
from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from tracker.cli.parsing import Parser, meant
from tracker.cli.progress import progress_of
from tracker.cli.scan import add_executor_flags, executor_of
from tracker.cli.standard_input import place_to_write
from tracker.cli.wiring import Context
from tracker.entry.times import shown
from tracker.errors import SomeFailedError, UsageError
from tracker.output.sentences.numbers import count

if TYPE_CHECKING:
    from tracker.app.pages import PagesMade, Progress

PAGE_EXAMPLE = """slackwater page "Ines Aalto" --month 2026-06
slackwater page --all --month 2026-06 --format pdf,txt --out pages
slackwater page --all --month 2026-06 --roster"""

_FORMATS = ("pdf", "txt", "html")
_PAPERS = ("a4", "us-letter")


def page_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("names", nargs="*", metavar="NAME", help="whose pages")
    parser.add_argument("--group", metavar="G", help="the pages of a group")
    parser.add_argument("--all", action="store_true", help="everybody's pages")
    parser.add_argument("--month", metavar="YYYY-MM", required=True, help="the month they are about")
    parser.add_argument("--format", metavar="F[,F...]", default="pdf", help="pdf, txt, html (%(default)s)")
    parser.add_argument("--paper", metavar="P", default="a4", help="a4 or us-letter (%(default)s)")
    parser.add_argument(
        "--sheets",
        type=int,
        choices=(1, 2),
        default=2,
        help="1: the front alone; 2: also the figures behind it",
    )
    parser.add_argument(
        "--roster",
        action="store_true",
        help="in place of the pages the coach's summary: one page for --group G or --all",
    )
    add_executor_flags(parser)
    parser.add_argument("--out", metavar="DIR", help="folder (default: reports/YYYY-MM under this one)")


def run_page(args: Namespace, ctx: Context) -> int:
    """Make the pages and print where they lie.

    Raises
    ------
    SomeFailedError
        If some pages failed or may not be made, or hold boxes for letters; the others are made.
    """
    if bool(args.names) + bool(args.group is not None) + args.all != 1:
        raise UsageError("say whose pages: names, --group G or --all (one of them)")
    if args.roster and args.names:
        raise UsageError("--roster is the summary of a group or of everybody: --group G or --all, no names")
    ctx.prepare_drawing()
    made = _roster(args, ctx) if args.roster else _pages(args, ctx)
    print_pages(made, ctx)
    if made.remarks:
        raise SomeFailedError(_what_lacks(made, whole_roster=args.roster))
    if not made.written:
        raise UsageError("there is nobody to make a page for; is the group's name right?")
    return 0


def _what_lacks(made: PagesMade, *, whole_roster: bool) -> str:
    """Return in one line how many have no page, and whose has boxes."""
    parts = []
    left = len({name for name, _ in (*made.failed, *made.skipped)})
    if left:
        whose = "the roster" if whole_roster else count(left, "swimmer")
        parts.append(f"no page, or not every format of it, for {whose}")
    if made.boxed:
        where = "the roster page" if whole_roster else count(len(made.boxed), "page")
        parts.append(f"letters that no font at hand has are boxes on {where}")
    if made.written:
        parts.append("the rest is done" if left else "every page is made")
    return "; ".join(parts)


def _pages(args: Namespace, ctx: Context) -> PagesMade:
    from tracker.app.pages import make_pages

    month = read_month(args.month)
    return make_pages(
        ctx.session_to_read,
        month,
        out=_folder(args, month),
        names=args.names or None,
        group=args.group,
        formats=_chosen(args.format, _FORMATS, "--format"),  # type: ignore[arg-type]
        paper=_chosen(args.paper, _PAPERS, "--paper")[0],  # type: ignore[arg-type]
        sheets=args.sheets,
        executor=executor_of(args),
        progress=progress_line(ctx),
    )


def _roster(args: Namespace, ctx: Context) -> PagesMade:
    from tracker.app.roster_page import make_roster_page

    month = read_month(args.month)
    return make_roster_page(
        ctx.session_to_read,
        month,
        out=_folder(args, month),
        group=args.group,
        formats=_chosen(args.format, _FORMATS, "--format"),  # type: ignore[arg-type]
        paper=_chosen(args.paper, _PAPERS, "--paper")[0],  # type: ignore[arg-type]
    )


def _folder(args: Namespace, month: dt.date) -> Path:
    return place_to_write(args.out, "--out") if args.out else Path("reports") / f"{month:%Y-%m}"


def print_pages(pages: PagesMade, ctx: Context) -> None:
    """Print the files, and as messages whose are missing and why."""
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "written": [str(path) for path in pages.written],
                "failed": [{"swimmer": name, "why": why} for name, why in pages.failed],
                "skipped": [{"swimmer": name, "why": why} for name, why in pages.skipped],
                "boxed": [{"swimmer": name, "why": why} for name, why in pages.boxed],
            }
        )
    else:
        for path in pages.written:
            ctx.say.line(str(path))
    for name, why in pages.remarks:
        ctx.say.warned(f"{name}: {why}")


def progress_line(ctx: Context) -> Progress | None:
    """Return what shows progress on a terminal; None elsewhere or where quiet was asked for."""
    show = progress_of("pages", ctx)
    return None if show is None else lambda done, total, _name: show(done, total)


def read_month(text: str) -> dt.date:
    """Return the first day of a month written YYYY-MM; raises `UsageError`."""
    match = re.fullmatch(r"(\d{4})-(\d{2})", text.strip(), re.ASCII)
    if match is None or not 1 <= int(match[2]) <= 12 or not 1900 <= int(match[1]) <= 2200:
        raise UsageError(f"--month: {shown(text)} is no month; write it as 2026-06")
    return dt.date(int(match[1]), int(match[2]), 1)


def _chosen(text: str, known: tuple[str, ...], flag: str) -> tuple[str, ...]:
    chosen = tuple(dict.fromkeys(part.strip().lower() for part in text.split(",") if part.strip()))
    for part in chosen:
        if part not in known:
            raise UsageError(f"{flag}: {shown(part)} is none of {', '.join(known)}{meant(part, known)}")
    if not chosen:
        raise UsageError(f"{flag}: is empty; use {', '.join(known)}")
    return chosen
