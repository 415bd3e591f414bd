"""Entries of any kind on the command line: written down, listed, corrected and deleted by their number.

What an entry's columns are called and how its cells read, its record says; its words are in
`output.sentences.entries`. A command adds only what is its own.
"""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from tracker.cli.parsing import typed_fields
from tracker.cli.remedies import COMMAND_LINE
from tracker.cli.wiring import Context
from tracker.entry.times import parse_whole
from tracker.errors import DecisionNeededError, UsageError

if TYPE_CHECKING:
    from tracker.model.about import RecordField
    from tracker.model.base import Record, StoredRow


def needed(text: str | None, what: str, command: str) -> str:
    """Return an argument that its verb needs; raises `UsageError` where it lacks."""
    if text is None:
        raise UsageError(f"say which {what} (see 'slackwater {command} --help')")
    return text


def number_of(text: str | None, command: str) -> int:
    """Return the number of an entry; raises `UsageError`."""
    try:
        return parse_whole(needed(text, "ID", command))
    except ValueError as wrong:
        raise UsageError(f"id: {wrong}") from None


def list_entries(
    ctx: Context, kind: type[Record], name: str, plural: str, /, *without: str, **equal: str
) -> int:
    """Print a swimmer's entries of a kind, but for some columns; `equal` picks those of some values."""
    from tracker.app import entries

    rows = entries.list_entries(ctx.session_to_read, kind, name, **equal)
    return print_entries(ctx, kind, rows, plural, *without)


def print_entries(
    ctx: Context, kind: type[Record], rows: Sequence[StoredRow[Any]], plural: str, *without: str
) -> int:
    """Print entries with their numbers, as a table or under `plural` in JSON."""
    from tracker.model.about import fields_of

    if ctx.json:
        ctx.say.json({"schema": 1, plural: [with_number(one) for one in rows]})
        return 0
    columns = [field for field in fields_of(kind).values() if field.own not in {"swimmer", *without}]
    cells = [(str(one.id), *cells_of(one.record, columns)) for one in rows]
    ctx.say.table(("id", *(field.heading for field in columns)), cells)
    return 0


def with_number(row: StoredRow[Any]) -> dict[str, Any]:
    """Return an entry with its number as JSON holds it."""
    return {"id": row.id, **row.record.model_dump(mode="json")}


def cells_of(record: Record, columns: Iterable[RecordField]) -> tuple[str, ...]:
    """Return an entry's cells in a table."""
    return tuple(field.as_typed(record) for field in columns)


def print_entry(ctx: Context, record: Any) -> None:  # noqa: ANN401 - any record of a swimmer
    """Print an entry that was written down."""
    from tracker.output.sentences.entries import entry_words

    if ctx.json:
        ctx.say.json({"schema": 1, **record.model_dump(mode="json")})
    else:
        ctx.say.line(f"{record.swimmer}, {entry_words(record)}")


def changes(args: Namespace, fields: Iterable[RecordField], command: str) -> dict[str, str]:
    """Return the fields that an entry is corrected in; raises `UsageError` where there are none."""
    form = typed_fields(args, fields)
    if not form:
        raise UsageError(f"nothing to change; name a field (see 'slackwater {command} --help')")
    return form


def agreed_to_delete(ctx: Context, question: str, *, yes: bool) -> bool:
    """Return whether something is to be deleted; off a terminal `yes` must say so.

    Raises
    ------
    DecisionNeededError
        If nobody can be asked.
    """
    if yes:
        return True
    if not ctx.may_ask:
        raise DecisionNeededError(f"{question}: say so with --yes")
    if ctx.agreed(f"{question}?"):
        return True
    ctx.say.said("nothing was changed")
    return False


def delete_entry(ctx: Context, kind: type[Record], number: str | None, command: str, *, yes: bool) -> int:
    """Delete the entry of a kind that has a number."""
    from tracker.app.entries import find_entry

    return delete_one(ctx, find_entry(ctx.session_to_read, kind, number_of(number, command)), yes=yes)


def delete_one(ctx: Context, row: StoredRow[Any], *, yes: bool) -> int:
    """Delete an entry after a yes and print what it was."""
    from tracker.app.entries import CALLED, delete_entry, kind_of
    from tracker.output.sentences.entries import entry_words

    words = entry_words(row.record)
    said = f"{CALLED[kind_of(row.record)]} {row.id} ({row.record.swimmer}, {words})"
    if not agreed_to_delete(ctx, f"delete {said}", yes=yes):
        return 0
    delete_entry(ctx.session_to_read, row)
    return print_changed(ctx, row.id, row.record, "deleted")


def print_changed(ctx: Context, number: int, record: Any, what: str) -> int:  # noqa: ANN401 - any record
    """Print what became of one entry."""
    from tracker.output.sentences.entries import entry_words

    if ctx.json:
        ctx.say.json({"schema": 1, "id": number, "what": what, **record.model_dump(mode="json")})
    else:
        ctx.say.line(f"{what} {number}: {record.swimmer}, {entry_words(record)}")
    return 0


def say_archived(names: Iterable[str], ctx: Context) -> None:
    """Say of each who is archived that the entry was made all the same, and how to take them back."""
    from tracker.app.swimmers import archived_among
    from tracker.output.sentences.people import archived_note

    for who in archived_among(ctx.session, names):
        ctx.say.warned(f"note: {archived_note(who, COMMAND_LINE)}")
