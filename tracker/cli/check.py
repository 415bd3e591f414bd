"""``slackwater check``: whether the database is whole, and its owner's alone."""

from __future__ import annotations

from argparse import Namespace

from tracker.cli.parsing import Parser
from tracker.cli.wiring import Context

EXAMPLE = """slackwater check
slackwater check --fix"""


def add_arguments(parser: Parser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "--quick",
        action="store_true",
        help="leave out the rows: pages, tables and file modes, as when the screens open",
    )
    parser.add_argument(
        "--fix", action="store_true", help="mend file modes, indexes and counters; never data"
    )


def run(args: Namespace, ctx: Context) -> int:
    """Check and say what was found; 1 if something is left."""
    from tracker.usecases.check_store import check_store

    checked = check_store(ctx.db, full=not args.quick, fix=args.fix)
    if checked.remark:
        ctx.say.warned(f"warning: {checked.remark}")
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "file": str(checked.file),
                "found": [vars(finding) for finding in checked.found],
                "left": [vars(finding) for finding in checked.left],
                "last_backup": checked.last_backup.isoformat() if checked.last_backup else None,
            }
        )
        return 1 if checked.left else 0
    for finding in checked.found:
        mended = finding not in checked.left
        hint = " (mended)" if mended else " ('check --fix' mends it)" if finding.mendable else ""
        ctx.say.line(f"{finding.where}: {finding.what}{hint}")
    if checked.left:
        if not all(finding.mendable for finding in checked.left):
            ctx.say.warned("restore a backup with 'slackwater restore FILE --yes'; keep this file until then")
        return 1
    backup = f"last backup {checked.last_backup:%Y-%m-%d}" if checked.last_backup else "no backup yet"
    ctx.say.line(f"{checked.file}: whole; {backup}")
    return 0
