"""A checksum of each row, so that damage to the file is noticed.

SQLite has no checksums of its own. CRC-32 finds every change of up to 32 neighbouring bits.
Left out are the row's number and the swimmer's label: those stand in an index a second time,
and a label changes in many rows at once.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any
from zlib import crc32

from sqlalchemy import Table

_PLAIN = frozenset({str, int, float, type(None), bytes})
_OUTSIDE = frozenset({"id", "seal"})


@cache
def sealed_columns(table: Table) -> tuple[str, ...]:
    """Return the columns that a row's seal covers, in the order in which it covers them."""
    return covered(table.name, [column.name for column in table.columns])


def covered(table: str, columns: Iterable[str]) -> tuple[str, ...]:
    """Return which of a table's columns a row's seal covers, in the order in which it covers them."""
    outside = _OUTSIDE if table == "swimmer" else _OUTSIDE | {"swimmer"}
    return tuple(sorted(set(columns) - outside))


def seal_of(values: Iterable[Any]) -> int:
    """Return the checksum of values in the order of `sealed_columns`; dates count as ISO text.

    It fits four bytes with a sign, the smallest whole number of every database.
    """
    plain = [value if type(value) in _PLAIN else _iso(value) for value in values]
    return crc32(repr(plain).encode("utf-8", "surrogatepass")) - 2**31


def sealed(table: Table, row: Mapping[str, Any]) -> dict[str, Any]:
    """Return a full row (`id` may be missing) with its seal."""
    return {**row, "seal": seal_of(row[name] for name in sealed_columns(table))}


def _iso(value: Any) -> Any:  # noqa: ANN401 - a column's value
    return value.isoformat() if isinstance(value, dt.date) else value
