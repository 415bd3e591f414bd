"""``slackwater backup``, ``restore`` and ``check``."""

from __future__ import annotations

import os
from argparse import Namespace
from pathlib import Path

from tracker.cli.parsing import Parser
from tracker.cli.standard_input import place_to_write
from tracker.cli.wiring import Context
from tracker.errors import DecisionNeededError
from tracker.model.database_address import without_secret
from tracker.output.sentences.numbers import count

BACKUP_EXAMPLE = """slackwater backup ~/copies/club.db
slackwater backup ~/copies/ --keep 7"""


def backup_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "path",
        metavar="FILE|DIR",
        help="the copy; in a folder (there already, or ending in /) it gets a dated name",
    )
    parser.add_argument("--keep", metavar="N", type=int, help="in a folder: keep the N latest copies")
    parser.add_argument("--force", action="store_true", help="replace a file that exists")


def run_backup(args: Namespace, ctx: Context) -> int:
    """Copy, verify, rotate, and say so."""
    from tracker.app.copies import back_up

    made = back_up(
        ctx.session_to_read,
        place_to_write(args.path),
        folder=args.path.endswith(tuple(filter(None, (os.sep, os.altsep)))),
        keep=args.keep,
        force=args.force,
    )
    ctx.say_noted(noted=made.noted)
    if ctx.json:
        removed = [str(path) for path in made.removed]
        ctx.say.json({"schema": 1, "backup": str(made.path), "rows": made.rows, "removed": removed})
        return 0
    ctx.say.line(f"{made.path}: {count(made.rows, 'row')}, read back and compared")
    for path in made.removed:
        ctx.say.line(f"removed {path}")
    return 0


RESTORE_EXAMPLE = "slackwater restore ~/copies/club.db --yes"


def restore_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument("file", metavar="FILE", help="a copy made by 'slackwater backup'")
    parser.add_argument("--yes", action="store_true", help="replace the present database without asking")


def run_restore(args: Namespace, ctx: Context) -> int:
    """Restore, after a yes."""
    from tracker.app.copies import restore

    address = without_secret(ctx.db)
    question = f"Replace everything in {address} by the copy {args.file}?"
    if not args.yes and not (ctx.may_ask and ctx.agreed(question)):
        raise DecisionNeededError(f"restore replaces everything in {address}; say --yes")
    done = restore(ctx.db, Path(args.file), at=ctx.now)
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "rows": done.rows,
                "replaced": str(done.replaced) if done.replaced else None,
                "erased_again": done.erased_again,
            }
        )
        return 0
    ctx.say.line(f"restored {count(done.rows, 'row')}")
    if done.replaced:
        ctx.say.line(f"what was there before is in {done.replaced}")
    if done.erased_again:
        ctx.say.line(f"erased again, for the copy still held them: {count(done.erased_again, 'swimmer')}")
    return 0


CHECK_EXAMPLE = """slackwater check
slackwater check --fix"""


def check_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "--quick",
        action="store_true",
        help="leave out the rows: pages, tables and file modes, as when the screens open",
    )
    parser.add_argument(
        "--fix", action="store_true", help="mend file modes, indexes and counters; never data"
    )


def run_check(args: Namespace, ctx: Context) -> int:
    """Check and say what was found; 1 if something is left."""
    from tracker.app.check import check_store

    checked = check_store(ctx.db, full=not args.quick, fix=args.fix)
    if checked.remark:
        ctx.say.warned(f"warning: {checked.remark}")
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "file": str(checked.file),
                "found": [vars(finding) for finding in checked.findings],
                "left": [vars(finding) for finding in checked.remaining],
                "last_backup": checked.last_backup.isoformat() if checked.last_backup else None,
            }
        )
        return 1 if checked.remaining else 0
    for finding in checked.findings:
        mended = finding not in checked.remaining
        hint = " (mended)" if mended else " ('check --fix' mends it)" if finding.mendable else ""
        ctx.say.line(f"{finding.where}: {finding.what}{hint}")
    if checked.remaining:
        if not all(finding.mendable for finding in checked.remaining):
            ctx.say.warned("restore a backup with 'slackwater restore FILE --yes'; keep this file until then")
        return 1
    backup = f"last backup {checked.last_backup:%Y-%m-%d}" if checked.last_backup else "no backup yet"
    ctx.say.line(f"{checked.file}: whole; {backup}")
    return 0
