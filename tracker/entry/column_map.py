"""A map from the columns of somebody's file to ours, kept as a TOML file and used again."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from tracker.entry.dates import parse_order
from tracker.errors import BadFileError
from tracker.records.club_layout import FILES
from tracker.records.text import name_key

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
