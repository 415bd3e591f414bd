"""``slackwater demo``: the invented club, and what the tool says of it."""

from __future__ import annotations

import sys
from argparse import Namespace
from dataclasses import replace
from shlex import quote
from typing import TYPE_CHECKING

from tracker.cli.page import progress_line, read_month
from tracker.cli.parsing import Parser
from tracker.cli.scan import print_roster
from tracker.cli.screens import open_screens
from tracker.cli.standard_input import place_to_write
from tracker.cli.wiring import Context
from tracker.errors import SomeFailedError
from tracker.output.sentences.numbers import count

if TYPE_CHECKING:
    from tracker.app.demo import Demo

DEMO_EXAMPLE = """slackwater demo
slackwater demo --to club --no-open"""


def demo_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--to", metavar="DIR", help="a new or empty folder (default: a fresh temporary one)")
    parser.add_argument("--no-open", action="store_true", help="don't open the screens afterwards")


def run_demo(args: Namespace, ctx: Context) -> int:
    """Build the club, print its roster, make its pages, and open the screens on a terminal."""
    from tracker.app.demo import build_demo

    demo = build_demo(place_to_write(args.to, "--to") if args.to else None, settings=ctx.settings)
    there = replace(ctx, db=str(demo.database), as_of=demo.last_day, day_fixed=True)
    there.store = demo.store
    try:
        return _show(demo, there, may_open=not args.no_open)
    finally:
        there.close()


def _show(demo: Demo, ctx: Context, *, may_open: bool) -> int:
    from tracker.app.pages import make_pages
    from tracker.app.scan import scan
    from tracker.output.row_rendering import render_row

    said = f"the invented club, as of its last day, {demo.last_day}"
    ctx.say.line(f"{said}, in {demo.folder}")
    ctx.say.line()
    lines = scan(ctx.session)
    print_roster((render_row(line, ctx.as_of) for line in lines), ctx)
    pages = demo.folder / "pages"
    ctx.prepare_drawing()
    made = make_pages(ctx.session, read_month(demo.month), out=pages, progress=progress_line(ctx))
    ctx.say.line()
    ctx.say.line(f"{count(len(made.written), 'page')} for {demo.month} in {pages}")
    for name, why in made.remarks:
        ctx.say.warned(f"{name}: {why}")
    ctx.say.line()
    ctx.say.line("next, type:")
    flags = f"--db {quote(str(demo.database))} --as-of {demo.last_day}"
    stalled = next((line.swimmer for line in lines if line.link), lines[0].swimmer if lines else "NAME")
    for command in (
        f"slackwater {flags} why {quote(stalled)}",
        f"slackwater {flags} scan",
        f"slackwater {flags} open",
    ):
        ctx.say.line(f"  {command}")
    if made.failed:
        raise SomeFailedError(f"{count(len(made.failed), 'page')} failed")
    if may_open and ctx.may_ask and sys.stdout.isatty():
        return open_screens(ctx, notice=said)
    return 0
