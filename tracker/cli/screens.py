"""``slackwater open`` and ``serve``: the screens, on a terminal or in a browser."""

from __future__ import annotations

import os
import sys
from argparse import Namespace
from dataclasses import dataclass, fields

from tracker.cli.config_files import read_file, read_settings, read_value, set_in_file
from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.settings import Settings


@dataclass
class ScreenConfig:
    """The settings of one run."""

    ctx: Context

    def rows(self) -> list[tuple[str, str, str]]:
        """Return name, value and origin of each setting."""
        found, _ = read_settings(self.ctx.dirs.config_files, os.environ)
        names = [field.name for field in fields(Settings)]
        return [(name, _written(found[name].value), found[name].origin) for name in names]

    def keys(self) -> dict[str, str]:
        """Return the ``[keys]`` table of the user's own file: other keys for actions of the screens."""
        path = self.ctx.dirs.config_files["user"]
        table = read_file(path).get("keys", {}) if path.is_file() else {}
        if not isinstance(table, dict):
            raise UsageError(f"{path}: keys is a table, such as [keys] and below it history = 'f9'")
        return {str(action): str(key) for action, key in table.items()}

    def put(self, name: str, value: str) -> Settings:
        """Write one into the user's own file; return all as they hold from now on."""
        set_in_file(self.ctx.dirs.config_files["user"], name, read_value(name, value))
        found, _ = read_settings(self.ctx.dirs.config_files, os.environ)
        return Settings(**{field.name: found[field.name].value for field in fields(Settings)})  # type: ignore[arg-type]


def _written(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


OPEN_EXAMPLE = """slackwater open
slackwater open --no-mouse"""


def open_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--no-mouse", action="store_true", help="leave the mouse to the terminal")
    parser.add_argument("--light", action="store_true", help="colours for a light terminal")


def run_open(args: Namespace, ctx: Context) -> int:
    """Open the screens on the terminal."""
    return open_screens(ctx, mouse=not args.no_mouse, light=args.light)


def open_screens(ctx: Context, *, mouse: bool = True, light: bool = False, notice: str = "") -> int:
    """Run the screens until they are left; return the exit code.

    Raises
    ------
    UsageError
        If this is no terminal.
    """
    from tracker.tui.run import DRIVER_VARIABLE

    in_a_page = bool(os.environ.get(DRIVER_VARIABLE))
    if not in_a_page and not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise UsageError("the screens need a terminal; 'slackwater scan' prints the roster")
    ctx.prepare_drawing()
    from tracker.tui.context import AppContext
    from tracker.tui.keymap import checked_keys
    from tracker.tui.run import is_light, run_app

    config = ScreenConfig(ctx)
    context = AppContext(
        ctx.session,
        day_fixed=ctx.day_fixed,
        state=ctx.dirs.state,
        cache=ctx.dirs.cache,
        config=config,
        keys=checked_keys(config.keys()),
        light=light or is_light(os.environ.get("COLORFGBG", "")),
        notice=notice,
        check=_check_command(ctx),
    )
    return run_app(context, mouse=mouse)


def _check_command(ctx: Context) -> str:
    """Return the command that checks this very database: the default one needs no flag."""
    from tracker.model.database_address import without_secret
    from tracker.tui.remedies import check_command

    setting = ctx.found["db"]
    if ctx.db == setting.value and not setting.origin.startswith("flag"):
        return "slackwater check"
    return check_command(without_secret(ctx.db))


SERVE_EXAMPLE = """slackwater serve
slackwater serve --port 8765"""

_LOWEST, _HIGHEST = 1024, 65_535


def serve_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--port", metavar="N", default="8765", help="port on this machine (default: 8765)")


def run_serve(args: Namespace, ctx: Context) -> int:
    """Serve until interrupted; whoever can use this machine can see the screens while it runs."""
    from tracker.entry.times import parse_whole
    from tracker.tui.run import HOST, serve

    try:
        port = parse_whole(args.port)
    except ValueError as wrong:
        raise UsageError(f"--port: {wrong}") from None
    if not _LOWEST <= port <= _HIGHEST:
        raise UsageError(f"--port: {port} is not between {_LOWEST} and {_HIGHEST}")
    ctx.say.warned(
        f"the screens are at http://{HOST}:{port} for everybody who uses this machine, without a login, "
        "until you press ctrl+c; the page asks an outside host for a font"
    )
    os.environ["SLACKWATER_DB"] = ctx.db  # not a flag: others may read those, and it may hold a password
    flags = ["--as-of", ctx.as_of.isoformat()] if ctx.day_fixed else []
    serve(flags, port)
    return 0
