"""``slackwater history``, ``undo`` and ``redo``."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser, number_list, whatever_is_wrong
from tracker.cli.wiring import Context

HISTORY_EXAMPLE = """slackwater history
slackwater history "Ines Aalto" --last 20"""


def history_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("name", nargs="?", metavar="NAME", help="only what concerns this swimmer")
    parser.add_argument("--last", metavar="N", help="only the last so many")


def run_history(args: Namespace, ctx: Context) -> int:
    """Print the changes, latest first."""
    from tracker.app.history import list_history

    with whatever_is_wrong() as problems:
        last = number_list([args.last], "--last", problems) if args.last is not None else []
    limit = int(last[0]) if last else None
    lines = list_history(ctx.session_to_read, swimmer=args.name, limit=limit)
    if ctx.json:
        entries = [
            {
                "id": line.id,
                "at": line.at.isoformat(),
                "who": line.who,
                "what": line.what,
                "state": line.state,
                "swimmers": list(line.swimmers),
            }
            for line in lines
        ]
        ctx.say.json({"schema": 1, "history": entries})
        return 0
    rows = [(str(one.id), f"{one.at:%Y-%m-%d %H:%M}", one.who, one.what, one.state) for one in lines]
    ctx.say.table(("id", "at", "who", "what", "state"), rows)
    return 0


UNDO_EXAMPLE = "slackwater undo"


def undo_arguments(_parser: Parser) -> None:
    """Add nothing: the command takes no arguments."""


def run_undo(_args: Namespace, ctx: Context) -> int:
    """Take back the last change that stands, and say what it was."""
    from tracker.app.history import undo

    what = undo(ctx.session_to_read)
    if ctx.json:
        ctx.say.json({"schema": 1, "undo": what})
    else:
        ctx.say.line(f"undo: {what}")
    return 0


REDO_EXAMPLE = "slackwater redo"


def redo_arguments(_parser: Parser) -> None:
    """Add nothing: the command takes no arguments."""


def run_redo(_args: Namespace, ctx: Context) -> int:
    """Do again what was taken back last, and say what it was."""
    from tracker.app.history import redo

    what = redo(ctx.session_to_read)
    if ctx.json:
        ctx.say.json({"schema": 1, "redo": what})
    else:
        ctx.say.line(f"redo: {what}")
    return 0
