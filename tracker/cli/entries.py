"""What the commands that list, correct and delete entries by their number have in common."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from tracker.cli.wiring import Context
from tracker.entry.times import parse_whole
from tracker.errors import DecisionNeededError, UsageError

if TYPE_CHECKING:
    from tracker.model.stored_row import StoredRow

Cells = Callable[[Any], Sequence[str]]
"""A record's cells in a table."""


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


def print_entries(
    ctx: Context, name: str, kept: Sequence[StoredRow[Any]], header: Sequence[str], cells: Cells
) -> int:
    """Print entries with their numbers, as a table or under `name` in JSON."""
    if ctx.json:
        told = [{"id": one.id, **one.record.model_dump(mode="json")} for one in kept]
        ctx.say.json({"schema": 1, name: told})
        return 0
    ctx.say.table(("id", *header), [(str(one.id), *cells(one.record)) for one in kept])
    return 0


def agreed_to_delete(ctx: Context, said: str, *, yes: bool) -> bool:
    """Return whether something is to be deleted; off a terminal `yes` must say so.

    Raises
    ------
    DecisionNeededError
        If nobody can be asked.
    """
    if yes:
        return True
    if not ctx.may_ask:
        raise DecisionNeededError(f"{said}: say so with --yes")
    if ctx.agreed(f"{said}?"):
        return True
    ctx.say.said("nothing was changed")
    return False


def delete_one(ctx: Context, kept: StoredRow[Any], words: str, *, yes: bool) -> int:
    """Delete an entry after a yes and print what it was."""
    from tracker.app.entries import CALLED, delete_entry, kind_of

    said = f"{CALLED[kind_of(kept.record)]} {kept.id} ({kept.record.swimmer}, {words})"
    if not agreed_to_delete(ctx, f"delete {said}", yes=yes):
        return 0
    delete_entry(ctx.session_to_read, kept)
    return print_changed(ctx, kept.id, kept.record, "deleted", words)


def print_changed(ctx: Context, number: int, record: Any, what: str, words: str) -> int:  # noqa: ANN401 - any record
    """Print what became of one entry."""
    if ctx.json:
        ctx.say.json({"schema": 1, "id": number, "what": what, **record.model_dump(mode="json")})
    else:
        ctx.say.line(f"{what} {number}: {record.swimmer}, {words}")
    return 0
