"""``slackwater open``: the screens."""

from __future__ import annotations

import os
import sys
from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import UsageError

EXAMPLE = """slackwater open
slackwater open --no-mouse"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--no-mouse", action="store_true", help="leave the mouse to the terminal")
    parser.add_argument("--light", action="store_true", help="colours for a light terminal")


def run(args: Namespace, ctx: Context) -> int:
    """Open the screens on the terminal."""
    return open_screens(ctx, mouse=not args.no_mouse, light=args.light)


def open_screens(ctx: Context, *, mouse: bool = True, light: bool = False, notice: str = "") -> int:
    """Run the screens until they are left; return the exit code.

    Raises
    ------
    UsageError
        If this is no terminal.
    """
    from tracker.tui.browser import DRIVER_VARIABLE

    in_a_page = bool(os.environ.get(DRIVER_VARIABLE))
    if not in_a_page and not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise UsageError("the screens need a terminal; 'slackwater scan' prints the roster")
    ctx.prepare_drawing()
    from tracker.cli.screen_config import ScreenConfig
    from tracker.tui.desk import Desk
    from tracker.tui.keymap import checked_keys
    from tracker.tui.run import is_light, run_app

    config = ScreenConfig(ctx)
    desk = Desk(
        store=ctx.store,
        state=ctx.places.state,
        cache=ctx.places.cache,
        settings=ctx.settings,
        config=config,
        keys=checked_keys(config.keys()),
        light=light or is_light(os.environ.get("COLORFGBG", "")),
        who=ctx.who,
        today=ctx.as_of if ctx.day_fixed else None,
        notice=notice,
        check=_check_command(ctx),
    )
    return run_app(desk, mouse=mouse)


def _check_command(ctx: Context) -> str:
    """Return the command that checks this very database: the default one needs no flag."""
    from tracker.output.check_words import check_command
    from tracker.records.address import without_secret

    place = ctx.found["db"]
    if ctx.db == place.value and not place.origin.startswith("flag"):
        return "slackwater check"
    return check_command(without_secret(ctx.db))
