"""``slackwater serve``: the screens in a browser on this machine."""

from __future__ import annotations

import os
from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context
from tracker.errors import UsageError

EXAMPLE = """slackwater serve
slackwater serve --port 8765"""

_LOWEST, _HIGHEST = 1024, 65_535


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("--port", metavar="N", default="8765", help="port on this machine (default: 8765)")


def run(args: Namespace, ctx: Context) -> int:
    """Serve until interrupted; whoever can use this machine can see the screens while it runs."""
    from tracker.entry.times import parse_whole
    from tracker.tui.browser import HOST, serve

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
