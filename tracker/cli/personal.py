"""``slackwater swimmer export|erase|retention``: export or erase one person's data, list old records."""

from __future__ import annotations

import datetime as dt
import re
from argparse import Namespace
from pathlib import Path
from typing import TYPE_CHECKING

from tracker.cli.parsing import Verbs
from tracker.cli.remedies import COMMAND_LINE
from tracker.cli.standard_input import place_to_write
from tracker.cli.wiring import Context
from tracker.errors import DecisionNeededError, SomeFailedError, UsageError
from tracker.output.sentences.numbers import count

if TYPE_CHECKING:
    from tracker.app.erase_swimmer import ErasureReport, Folders

_AGE = re.compile(r"(\d{1,5})([dmy])", re.ASCII)
_LONGEST = 100_000
"""Days; more than anybody's record."""
_DAYS = {"d": 1.0, "m": 30.4375, "y": 365.25}


def add_verbs(verbs: Verbs) -> None:
    """Add the verbs."""
    export = verbs.add(
        "export",
        "write everything on record about one person",
        'slackwater swimmer export "Ines Aalto" ines/',
    )
    export.add_argument("name", metavar="NAME", help="the swimmer's label")
    export.add_argument("folder", metavar="DIR", help="where to; made if it is not there")
    export.add_argument("--health", action="store_true", help="illness and injury too: for the person only")
    export.add_argument("--force", action="store_true", help="replace files that exist")
    erase = verbs.add(
        "erase",
        "erase one person; it cannot be undone",
        'slackwater swimmer erase "Ines Aalto" --dry-run\nslackwater swimmer erase "Ines Aalto" --yes',
    )
    erase.add_argument("name", nargs="?", metavar="NAME", help="the swimmer's label")
    erase.add_argument("--yes", action="store_true", help="don't ask")
    erase.add_argument("--dry-run", action="store_true", help="say what would go, and change nothing")
    erase.add_argument(
        "--wipe", action="store_true", help="finish an erasure that found the database open elsewhere"
    )
    retention = verbs.add(
        "retention",
        "list those for whom nothing was added for long; erases nothing",
        "slackwater swimmer retention --older-than 3y",
    )
    retention.add_argument("--older-than", metavar="AGE", default="3y", help="90d, 18m or 3y (%(default)s)")


def run_export(args: Namespace, ctx: Context) -> int:
    """Export one person and say what was written."""
    from tracker.app.export_swimmer import export_swimmer
    from tracker.output.sentences.people import health_note

    done = export_swimmer(
        ctx.session_to_read,
        args.name,
        place_to_write(args.folder),
        health=args.health,
        force=args.force,
        wording=COMMAND_LINE,
    )
    ctx.say_noted(noted=done.noted)
    if ctx.json:
        ctx.say.json(
            {
                "schema": 1,
                "swimmer": done.swimmer,
                "folder": str(done.folder),
                "files": dict(done.written),
                "health_left_out": done.health_left_out,
            }
        )
        return 0
    for name, rows in done.written.items():
        ctx.say.line(f"{done.folder / name}: {count(rows, 'row')}")
    if done.health_left_out:
        ctx.say.warned(f"note: {health_note(done.health_left_out, COMMAND_LINE)}")
    return 0


def run_erase(args: Namespace, ctx: Context) -> int:
    """Erase one person after a yes, or say what would go.

    Raises
    ------
    SomeFailedError
        If another process holds an older state of the file, which still shows them.
    """
    from tracker.app.erase_swimmer import erase_swimmer, preview_erasure, wipe_again

    if args.wipe:
        _check_wiped(wiped=wipe_again(ctx.session_to_read))
        ctx.say.said("nothing of what was erased is left in the file")
        return 0
    if args.name is None:
        raise UsageError("say whom: slackwater swimmer erase NAME (see 'slackwater swimmer erase --help')")
    folders = _folders(ctx)
    session = ctx.session_to_read
    asked = preview_erasure(session, args.name, folders=folders)
    if args.dry_run:
        return _print(ctx, asked, "would erase")
    question = f"erase {asked.swimmer}, {_entries(asked)}; it cannot be undone"
    if not args.yes:
        if not ctx.may_ask:
            raise DecisionNeededError(f"{question}: say so with --yes, or look first with --dry-run")
        if not ctx.agreed(f"{question}. Erase?"):
            ctx.say.said("nothing was changed")
            return 0
    done = erase_swimmer(session, args.name, folders=folders)
    _print(ctx, done, "erased")
    if done.wiped is None:
        ctx.say.warned(
            "the tables hold nothing more; the server's own log, free pages and backups are for who keeps it"
        )
    else:
        _check_wiped(wiped=done.wiped)
    return 0


def _folders(ctx: Context) -> Folders:
    from tracker.app.erase_swimmer import Folders

    return Folders((ctx.dirs.state, ctx.dirs.cache), Path("reports"))


def _check_wiped(*, wiped: bool) -> None:
    if wiped:
        return
    raise SomeFailedError(
        "the tables hold nothing more, but another process has the database open and its log still does; "
        "close it, then run 'slackwater swimmer erase --wipe'"
    )


def _print(ctx: Context, done: ErasureReport, what: str) -> int:
    if ctx.json:
        ctx.say.json(_json(done))
        return 0
    from tracker.output.sentences.people import entries_line, mention_words

    ctx.say.line(f"{what} {done.swimmer}: {_entries(done)}")
    for table, rows in done.rows.items():
        ctx.say.line(f"  {entries_line(table, rows)}")
    for path in done.files:
        ctx.say.line(f"  {path}")
    for path in done.pages:
        ctx.say.warned(f"still there, a page: {path}")
    for copy in done.copies:
        kind = "backup" if copy.made.kind == "backup" else "export"
        holds = "holds them" if copy.holds else "may hold them"
        ctx.say.warned(f"still there, {holds}: {kind} of {copy.made.at:%Y-%m-%d}, {copy.made.place}")
    columns = sorted({(one.table, one.column) for one in done.mentions})
    for table, column in columns:
        number = sum((one.table, one.column) == (table, column) for one in done.mentions)
        ctx.say.warned(f"still named in entries of others: {mention_words(table, column, number)}")
    ctx.say.said(
        "a restored backup is erased of them again; "
        "out of reach: pages in other folders than reports, copies elsewhere, shell history"
    )
    return 0


def _entries(found: ErasureReport) -> str:
    return count(sum(found.rows.values()), "entry", "entries")


def _json(done: ErasureReport) -> dict[str, object]:
    return {
        "schema": 1,
        "swimmer": done.swimmer,
        "rows": dict(done.rows),
        "files": [str(path) for path in done.files],
        "pages_left": [str(path) for path in done.pages],
        "copies_left": [
            {
                "kind": one.made.kind,
                "place": one.made.place,
                "at": one.made.at.isoformat(),
                "holds": one.holds,
            }
            for one in done.copies
        ],
        "named_elsewhere": [
            {"table": one.table, "id": one.number, "column": one.column} for one in done.mentions
        ],
        "wiped": done.wiped,
    }


def _age(text: str) -> dt.timedelta:
    match = _AGE.fullmatch(text.strip().lower())
    days = round(int(match[1]) * _DAYS[match[2]]) if match else 0
    if not 0 < days < _LONGEST:
        raise UsageError(f"--older-than: {text!r} is no age; write it as 90d, 18m or 3y")
    return dt.timedelta(days=days)


def run_retention(args: Namespace, ctx: Context) -> int:
    """List the inactive, longest first."""
    from tracker.app.swimmers import list_inactive

    age = _age(args.older_than)
    found = list_inactive(ctx.session_to_read, older_than=age)
    if ctx.json:
        lines = [
            {
                "swimmer": one.swimmer.swimmer,
                "first": str(one.first) if one.first else None,
                "last": str(one.last) if one.last else None,
                "entries": one.entries,
                "archived": str(one.swimmer.archived) if one.swimmer.archived else None,
                "consent_gone": one.withdrawn,
            }
            for one in found
        ]
        ctx.say.json({"schema": 1, "inactive": lines})
        return 0
    header = ("swimmer", "last entry", "first entry", "entries", "archived", "consent")
    rows = [
        (
            one.swimmer.swimmer,
            str(one.last or "none"),
            str(one.first or ""),
            str(one.entries),
            str(one.swimmer.archived or ""),
            "gone" if one.withdrawn else "",
        )
        for one in found
    ]
    ctx.say.table(header, rows)
    return 0
