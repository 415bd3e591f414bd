"""Export the whole club as a folder of files that import as they are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

from tracker.app.session import Session
from tracker.errors import UsageError
from tracker.model.about import health_fields
from tracker.model.base import Record
from tracker.model.club_layout import FILES, MARK, ClubFile
from tracker.model.event import Event
from tracker.model.event_kinds import HEALTH_KINDS
from tracker.output.files import JSON_LINES_NAME, lines_of, write_club_file, write_json_lines, write_mark
from tracker.plugin_registry import load_plugin
from tracker.remedies import Mend
from tracker.settings import Settings
from tracker.store.reading import Reader
from tracker.technique.privacy import in_copies, without_health


class Workbook(Protocol):
    """A workbook of the club; nothing is on the disk before `write`."""

    def add(self, file: ClubFile, rows: Iterable[tuple[Any, ...]]) -> int:
        """Add one sheet; return how many rows."""

    def discard(self) -> None:
        """Give it up."""

    def write(self, folder: Path, *, force: bool = False) -> None:
        """Write it."""


FORMATS = ("csv", "xlsx", "jsonl")


@dataclass(frozen=True)
class ExportReport:
    """What was written: file -> rows; how many events about health were left out; whether it is noted."""

    folder: Path
    written: Mapping[str, int]
    health_left_out: int
    noted: bool


def export_club(
    session: Session, folder: Path, *, force: bool = False, formats: Sequence[str] = ("csv",)
) -> ExportReport:
    """Write everything in one snapshot; history, caches and drafts are not carried.

    The database notes that the copy exists, for who is erased later stays in it.

    Raises
    ------
    UsageError
        If a format is unknown, or a file exists already and `force` is not given; then nothing
        is written.
    SlackwaterError
        If a file cannot be written.
    """
    unknown = [name for name in formats if name not in FORMATS]
    if unknown:
        raise UsageError(f"no format is called {unknown[0]!r}; there are {', '.join(FORMATS)}")
    targets = [target for name in formats for target in _targets(folder, name)]
    there = [target for target in targets if target.exists()]
    if there and not force:
        raise UsageError(f"{there[0]} exists already", Mend.REPLACE)
    written: dict[str, int] = {}
    with (
        session.store.noted_copy(folder, "export", session.now) as noted,
        session.store.read() as reader,
    ):
        left_out = (
            0 if session.settings.health else sum(reader.count(Event, kind=kind) for kind in HEALTH_KINDS)
        )
        for name in formats:
            written |= _WRITERS[name](reader, folder, settings=session.settings, force=force)
    return ExportReport(folder, written, left_out, noted)


def _targets(folder: Path, name: str) -> list[Path]:
    if name == "csv":
        return [folder / f"{file.stem}.csv" for file in FILES] + [folder / MARK]
    return [folder / f"club.{name}"]


def _csv(reader: Reader, folder: Path, *, settings: Settings, force: bool) -> dict[str, int]:
    written = {
        f"{file.stem}.csv": write_club_file(folder, file, shown_rows(reader, file, settings), force=force)
        for file in FILES
    }
    write_mark(folder, force=force)
    return written


def _xlsx(reader: Reader, folder: Path, *, settings: Settings, force: bool) -> dict[str, int]:
    plugin = load_plugin("write workbook")
    book: Workbook = plugin.ClubWorkbook()
    try:
        count = sum(book.add(file, shown_rows(reader, file, settings)) for file in FILES)
    except BaseException:
        book.discard()
        raise
    book.write(folder, force=force)
    return {plugin.NAME: count}


def _jsonl(reader: Reader, folder: Path, *, settings: Settings, force: bool) -> dict[str, int]:
    lines = (line for file in FILES for line in lines_of(file, shown_rows(reader, file, settings)))
    return {JSON_LINES_NAME: write_json_lines(folder, lines, force=force)}


_WRITERS = {"csv": _csv, "xlsx": _xlsx, "jsonl": _jsonl}


def shown_rows(reader: Reader, file: ClubFile, settings: Settings) -> Iterator[tuple[Any, ...]]:
    """Give the rows of a file, events as far as they may be copied."""
    rows = reader.rows(file.kind)
    names = list(file.kind.model_fields)
    if file.kind is not Event:
        hidden = health_fields(file.kind, "always")
        yield from (_without(file.kind, names, row) for row in rows) if hidden else rows
        return
    for row in rows:
        event = in_copies(Event.model_construct(**dict(zip(names, row, strict=True))), settings)
        if event is not None:
            yield tuple(getattr(event, name) for name in names)


def _without(kind: type[Record], names: Sequence[str], row: Sequence[Any]) -> tuple[Any, ...]:
    return tuple(without_health(kind, dict(zip(names, row, strict=True))).values())
