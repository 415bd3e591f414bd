"""Which column of a table is what; column names in English, German, French, Spanish, Italian, some more."""

from __future__ import annotations

import re
import tomllib
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

from tracker.entry.dates import parse_order
from tracker.errors import BadFileError
from tracker.model.about import fields_of
from tracker.model.club_layout import FILES, SWIMS, ClubFile
from tracker.model.swim import Swim
from tracker.model.text import clean_line, name_key
from tracker.remedies import Mend

COLUMN_OF_HEADER: Final[dict[str, str]] = {
    name: column
    for file in FILES
    for column, field in file.columns.items()
    for name in filter(None, fields_of(file.kind)[field].about.headers.split(", "))
}
"""`header_key` of a header -> our column, by `About.headers` (common usage, from memory, no accents)."""

_UNIT = re.compile(r"\s*[(\[]\s*(?:m|metres?|meters?|s|secs?|seconds|mm?:ss?(?:\.\w+)?|h:mm:ss)\s*[)\]]$")


def header_key(text: str) -> str:
    """Return the name of a column without case, accents, and a unit that we have anyway ("Time (s)")."""
    folded = unicodedata.normalize("NFD", name_key(clean_line(text)))
    plain = "".join(letter for letter in folded if not unicodedata.combining(letter))
    return _UNIT.sub("", plain.rstrip(": ")).strip()


def quoted_header(header: tuple[str, ...]) -> str:
    """Return a header as it is quoted in a message."""
    said = ", ".join(clean_line(name).strip() for name in header)
    return repr(said if len(said) <= 80 else f"{said[:79]}…")


_OF_A_SWIM = frozenset({"date", "time_s", "distance_m"})
"""What no list of people and no test definition has: a table with one of these is not taken for such."""


class UnknownHeaderError(BadFileError):
    """A header row that no table of a club has."""


@dataclass(frozen=True)
class Header:
    """A header row understood.

    Attributes
    ----------
    file
        Which file of the club it is.
    positions
        Field -> index of its column.
    ignored
        Names of the columns that mean nothing to us, cleaned.
    read_as
        Column name as written -> our column, where the two differ.
    twice
        Our columns that stand more than once.
    """

    file: ClubFile
    positions: Mapping[str, int]
    ignored: tuple[str, ...]
    read_as: Mapping[str, str]
    twice: tuple[str, ...] = ()

    @property
    def exact(self) -> int:
        """How many columns bear exactly our name."""
        return len(self.positions) - len(self.read_as)


def understood(
    name: str,
    header: Sequence[str],
    chosen: Mapping[str, str],
    *,
    stem: str = "",
    only: str = "",
    fixed: Sequence[str] = (),
) -> Header:
    """Return what a header row means: what has a date and a time is swims, whatever the file is called.

    Parameters
    ----------
    name
        The table's name, for messages.
    header
        Column names as written.
    chosen
        Column name as written (by `name_key`) -> our column; goes before everything else.
    stem
        What it is called; that decides only where the header does not.
    only
        The stem of the only file that it may be; empty for any.
    fixed
        Columns that a map gives a fixed value.

    Raises
    ------
    BadFileError
        If it is no file of the club, or a column stands twice.
    """
    read = [_read_as(file, header, chosen) for file in FILES if only in {"", file.stem}]
    fits = [one for one in read if _enough(one, set(fixed))]
    if not only:
        swims = [one for one in fits if one.file.kind is Swim]
        fits = swims or [one for one in fits if _plainly(one, header, chosen, stem)]
    if not fits:
        raise UnknownHeaderError(
            f"{name}:1: the header {quoted_header(tuple(header))} is not one of ours; swims need a date, "
            "a time, and a distance or a test",
            Mend.MAP_COLUMNS,
        )
    best = max(fits, key=lambda one: (len(one.positions), one.exact, one.file.stem == stem))
    if best.twice:
        raise BadFileError(f"{name}:1: two columns are '{best.twice[0]}'; keep one")
    return best


def _read_as(file: ClubFile, header: Sequence[str], chosen: Mapping[str, str]) -> Header:
    """Return a header read as that of one file of the club."""
    positions: dict[str, int] = {}
    unused: list[str] = []
    twice: list[str] = []
    read_as: dict[str, str] = {}
    for position, written in enumerate(header):
        column, shown = _column(written, file, chosen), clean_line(written).strip()[:60]
        if column is None:
            unused.append(shown or f"column {position + 1}, which has no name")
        elif file.columns[column] in positions:
            twice.append(column)
        else:
            positions[file.columns[column]] = position
            if name_key(clean_line(written)) != column:
                read_as[shown] = column
    return Header(file, positions, tuple(unused), read_as, tuple(twice))


def _column(written: str, file: ClubFile, chosen: Mapping[str, str]) -> str | None:
    whole, key = name_key(clean_line(written)), header_key(written)
    for column in (chosen.get(whole), whole, key, key.replace(" ", "_"), COLUMN_OF_HEADER.get(key)):
        if column in file.columns:
            return column
    return None


def _enough(found: Header, fixed: set[str]) -> bool:
    """Return whether a header has what such a file needs; whose a swim is can be said beside it."""
    needed = found.file.needed - {"swimmer"} if found.file.kind is Swim else found.file.needed
    return (
        needed <= {column for column, field in found.file.columns.items() if field in found.positions} | fixed
    )


def _plainly(found: Header, header: Sequence[str], chosen: Mapping[str, str], stem: str) -> bool:
    """Return whether a table is this rather than swims, or something strange with one column like ours."""
    left = [written for written in header if _column(written, found.file, chosen) is None]
    if any(SWIMS.columns.get(_column(written, SWIMS, chosen) or "") in _OF_A_SWIM for written in left):
        return False
    return len(found.file.needed) > 1 or len(found.positions) > len(found.ignored) or found.file.stem == stem


_KEYS = {"file", "date_format", "distance_unit", "clock", "columns", "fixed"}


@dataclass(frozen=True)
class ColumnMap:
    """How a file is to be read.

    Attributes
    ----------
    columns
        Column name as written (folded) -> our column.
    fixed
        Our column -> the text that stands for it in every row that says nothing.
    file
        Stem of the file it is ("swims"); empty to tell by the header.
    date_format
        Order of day, month and year; empty for ISO 8601.
    distance_unit
        "m" or "yards".
    clock
        What a workbook's time of day in a column of times means: "minutes" (6:45 is 6 min 45 s)
        or "hours"; empty to refuse it and ask.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    fixed: Mapping[str, str] = field(default_factory=dict)
    file: str = ""
    date_format: str = ""
    distance_unit: str = "m"
    clock: str = ""


NO_MAP = ColumnMap()


def read_column_map(file: Path) -> ColumnMap:
    """Read a map.

    Raises
    ------
    BadFileError
        If it is not TOML, or names a column that we don't have.
    """
    try:
        with file.open("rb") as stream:
            told = tomllib.load(stream)
    except OSError as error:
        raise BadFileError(f"cannot read {file}: {error.strerror}") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadFileError(f"{file.name} is not TOML: {error}") from None
    ours = {column for known in FILES for column in known.columns}
    columns, fixed = _texts(told, "columns", file), _texts(told, "fixed", file)
    unknown = [*(set(told) - _KEYS), *(set(columns.values()) - ours), *(set(fixed) - ours)]
    if unknown:
        raise BadFileError(f"{file.name}: {sorted(unknown)[0]!r} is none of our columns or settings")
    stem, unit = str(told.get("file", "")), str(told.get("distance_unit", "m"))
    if stem and stem not in {known.stem for known in FILES}:
        raise BadFileError(f"{file.name}: file {stem!r} is none of ours ({_stems()})")
    if unit not in {"m", "yards"}:
        raise BadFileError(f"{file.name}: distance_unit is 'm' or 'yards', not {unit!r}")
    clock = str(told.get("clock", ""))
    if clock not in {"", "minutes", "hours"}:
        raise BadFileError(f"{file.name}: clock is 'minutes' or 'hours', not {clock!r}")
    order = str(told.get("date_format", ""))
    try:
        order = parse_order(order) if order else ""
    except ValueError as wrong:
        raise BadFileError(f"{file.name}: date_format {wrong}") from None
    names = {name_key(name): column for name, column in columns.items()}
    return ColumnMap(names, fixed, stem, order, unit, clock)


def _texts(told: Mapping[str, object], name: str, file: Path) -> dict[str, str]:
    part = told.get(name, {})
    if not isinstance(part, dict):
        raise BadFileError(f"{file.name}: [{name}] is a table of names")
    return {str(key): str(value) for key, value in part.items()}


def _stems() -> str:
    return ", ".join(known.stem for known in FILES)
