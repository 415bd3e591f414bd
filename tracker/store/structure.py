"""The structure of a file (tables, indexes, rules), independent of the SQL text that made it.

A table that a migration rebuilt has the same parts as a new one, in another order and with other
quotes. So the words are compared part by part: every column and every rule as a whole (the words
that a rule allows in any order), and what stands behind the bracket (STRICT). Whatever else
somebody writes there makes a part differ.
"""

from __future__ import annotations

import re
import sqlite3
from functools import cache
from itertools import pairwise

from sqlalchemy import create_engine

from tracker.store.migrating import STAMP
from tracker.store.tables import METADATA
from tracker.store.version import SCHEMA

Part = tuple[object, ...]

_TOKEN = re.compile(
    r"""(?P<nothing>\s+|--[^\n]*|/\*.*?\*/)
      | (?P<value>'(?:[^']|'')*')
      | (?P<quoted>"(?:[^"]|"")*"|`[^`]*`|\[[^\]]*\])
      | (?P<word>[\w.$]+)
      | (?P<mark>.)""",
    re.DOTALL | re.VERBOSE,
)


def structure_of(connection: sqlite3.Connection) -> set[Part]:
    """Return kind, name, table and meaning of all that a file holds beside its rows."""
    query = "SELECT type, name, tbl_name, sql FROM sqlite_master"
    return {(kind, name, table, _meaning(sql)) for kind, name, table, sql in connection.execute(query)}


@cache
def expected_structure(version: int) -> frozenset[Part]:
    """Return the structure of a file of this version of the tables, or of an earlier one."""
    engine = create_engine("sqlite://")
    with engine.connect() as connection, connection.begin():
        if version == SCHEMA:
            METADATA.create_all(connection)
            STAMP.create(connection)
        else:
            from tracker.store.migrating import run

            run(connection, version)
        driver = connection.connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)  # noqa: S101 - what a URL of SQLite gives
        found = frozenset(structure_of(driver))
    engine.dispose()
    return found


def tables_of(version: int) -> list[str]:
    """Return the tables of rows with a number and a checksum in a version of the tables."""
    made = {str(name) for kind, name, *_ in expected_structure(version) if kind == "table"}
    return sorted(made - {STAMP.name, "sqlite_sequence"})


def _meaning(sql: object) -> Part:
    """Return the words of a statement without blanks, quotes and case; parts and lists in one order."""
    if not isinstance(sql, str):
        return (sql,)
    words = _lists_sorted([_plain(found) for found in _TOKEN.finditer(sql) if found.lastgroup != "nothing"])
    if words[:2] != ["create", "table"] or "(" not in words:
        return tuple(words)
    start = words.index("(")
    parts: list[list[str]] = [[]]
    depth = 0
    for place, word in enumerate(words[start:], start):
        depth += (word == "(") - (word == ")")
        if depth == 0:
            return (*words[:start], *sorted(map(tuple, parts)), *words[place + 1 :])
        if word == "," and depth == 1:
            parts.append([])
        elif place > start:
            parts[-1].append(word)
    return tuple(words)


def _lists_sorted(words: list[str]) -> list[str]:
    """Return the words with what stands in each IN (...) in order of its letters."""
    found = list(words)
    for place, pair in enumerate(pairwise(words)):
        if pair == ("in", "(") and ")" in words[place:]:
            start, end = place + 2, words.index(")", place)
            values = found[start:end:2]
            if set(found[start + 1 : end : 2]) <= {","}:
                found[start:end:2] = sorted(values)
    return found


def _plain(found: re.Match[str]) -> str:
    if found.lastgroup == "quoted" and re.fullmatch(r"\w+", found[0][1:-1]):
        return found[0][1:-1].lower()
    return found[0].lower() if found.lastgroup == "word" else found[0]
