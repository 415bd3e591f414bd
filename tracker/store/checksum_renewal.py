"""Checksums across a migration: each row is checked before, and its checksum renewed after.

A checksum covers every column, so adding or dropping one changes what the checksums of all rows
should be. A row that was damaged before keeps a checksum that does not fit: renewing it would
say that the damage is what was written, and refusing the whole migration would lock its owner out.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sqlalchemy import Connection, inspect, text

from tracker.errors import BadFileError
from tracker.remedies import Mend
from tracker.store.checksums import checksum_of, checksummed

_CHUNK = 20_000


def damaged_rows(connection: Connection) -> dict[str, frozenset[int]]:
    """Return by table the numbers of the rows whose checksum does not fit, whatever columns a table has."""
    return {
        table: frozenset(
            number for rows in _rows(connection, table, columns) for number, _, fits in rows if not fits
        )
        for table, columns in _tables_with_checksum(connection).items()
    }


def renew_checksums(connection: Connection, damaged: Mapping[str, frozenset[int]]) -> None:
    """Renew every checksum that no longer fits; those of damaged rows still do not fit."""
    for table, columns in _tables_with_checksum(connection).items():
        spoilt = damaged.get(table, frozenset())
        statement = text(f'UPDATE "{table}" SET seal = :seal WHERE id = :number')  # noqa: S608 - own names
        for rows in _rows(connection, table, columns):
            wrong = [
                {"seal": seal ^ 1 if number in spoilt else seal, "number": number}
                for number, seal, fits in rows
                if fits == (number in spoilt)
            ]
            if wrong:
                connection.execute(statement, wrong)


def _tables_with_checksum(connection: Connection) -> dict[str, tuple[str, ...]]:
    found = inspect(connection)
    columns = {table: {one["name"] for one in found.get_columns(table)} for table in found.get_table_names()}
    return {table: checksummed(table, names) for table, names in columns.items() if {"id", "seal"} <= names}


def _rows(
    connection: Connection, table: str, columns: Iterable[str]
) -> Iterator[list[tuple[int, int, bool]]]:
    """Give number, the checksum that fits, and whether the row has it, in chunks by number."""
    names = ", ".join(f'"{name}"' for name in columns)
    last = None
    while True:
        beyond = "" if last is None else f"WHERE id > {int(last)}"
        query = f'SELECT id, seal, {names} FROM "{table}" {beyond} ORDER BY id LIMIT {_CHUNK}'  # noqa: S608
        rows = _fetched(connection, query)
        if not rows:
            return
        if last is not None and rows[0][0] <= last:
            raise BadFileError(f"the table {table} is damaged", Mend.CHECK_OR_RESTORE)
        last = rows[-1][0]
        seals = ((number, seal, checksum_of(values)) for number, seal, *values in rows)
        yield [(number, fitting, seal == fitting) for number, seal, fitting in seals]


def _fetched(connection: Connection, query: str) -> list[Any]:
    """Return rows; text that is damaged so that it is none is read too, as `check` reads it."""
    driver = connection.connection.driver_connection
    if not isinstance(driver, sqlite3.Connection):
        return list(connection.exec_driver_sql(query))
    factory, driver.text_factory = driver.text_factory, _text
    try:
        return driver.execute(query).fetchall()
    finally:
        driver.text_factory = factory


def _text(raw: bytes) -> str:
    return raw.decode("utf-8", "surrogateescape")
