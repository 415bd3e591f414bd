"""What makes a table another, and what only says the same in other words."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tracker.store.checking import check_file
from tracker.store.database import Store
from tracker.store.structure import structure_of, tables_of
from tracker.store.tables import METADATA
from tracker.store.version import SCHEMA

pytestmark = pytest.mark.file_only(reason="the words of a file's tables")

MADE = """
CREATE TABLE event (
    id INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT, kind TEXT NOT NULL, cost REAL,
    swimmer TEXT NOT NULL, UNIQUE (kind), FOREIGN KEY(swimmer) REFERENCES swimmer (swimmer) ON UPDATE CASCADE,
    CONSTRAINT event_kind CHECK ("kind" IN ('camp', 'lay,off (x)', 'it''s')),
    CONSTRAINT event_cost CHECK ("cost" > 0 AND "cost" <= 0.5)) STRICT
"""


def structure(sql: str) -> object:
    with closing(sqlite3.connect(":memory:")) as connection:
        connection.execute(sql)
        return structure_of(connection)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("CREATE TABLE event (", 'create  table "event"\n('),
        ("kind TEXT NOT NULL, cost REAL,", "cost  REAL, [kind] TEXT NOT NULL /* a, b */, -- (c\n"),
        ('"cost" > 0', "cost>0"),
        ("'camp', 'lay,off (x)', 'it''s'", "'it''s','camp', 'lay,off (x)'"),
        ("swimmer (swimmer)", '"swimmer"("swimmer")'),
    ],
)
def test_other_words_for_the_same_table_are_the_same(old: str, new: str) -> None:
    assert MADE.count(old) == 1
    assert structure(MADE.replace(old, new)) == structure(MADE)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (" AUTOINCREMENT", ""),
        ("kind TEXT NOT NULL", "kind TEXT"),
        ("kind TEXT NOT NULL", "kind TEXT NOT NULL DEFAULT ''"),
        ("kind TEXT NOT NULL", "kind TEXT NOT NULL COLLATE NOCASE"),
        ("kind TEXT NOT NULL,", "kind TEXT NOT NULL, extra TEXT,"),
        ("cost REAL", "cost INTEGER"),
        (" UNIQUE (kind),", ""),
        (" ON UPDATE CASCADE", ""),
        (" ON UPDATE CASCADE", " ON UPDATE CASCADE ON DELETE CASCADE"),
        ("'camp', ", ""),
        ("'camp'", "'Camp'"),
        ("'lay,off (x)'", "'lay, off (x)'"),
        ('"kind" IN', '"kind" NOT IN'),
        ("<= 0.5", "<= 5.0"),
        ("> 0 AND", "> 0 OR"),
        ("CONSTRAINT event_kind", "CONSTRAINT other"),
        (" STRICT", ""),
    ],
)
def test_another_table_is_another(old: str, new: str) -> None:
    assert MADE.count(old) == 1
    assert structure(MADE.replace(old, new)) != structure(MADE)


@pytest.mark.parametrize(
    "harm",
    [
        'CONSTRAINT swim_effort CHECK ("effort" >= 1 AND "effort" <= 10), ',
        " AUTOINCREMENT",
        " STRICT",
        " ON UPDATE CASCADE",
    ],
)
def test_a_rule_taken_out_of_a_real_table_is_noticed(store: Store, harm: str) -> None:
    file = store.file
    store.close()
    with closing(sqlite3.connect(file)) as connection:
        (sql,) = connection.execute("SELECT sql FROM sqlite_master WHERE name = 'swim'").fetchone()
        assert harm in sql.replace("\n", "").replace("\t", "")
        plain = sql.replace("\n\t", "").replace("\n", "").replace(harm, "")
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute("UPDATE sqlite_master SET sql = ? WHERE name = 'swim'", (plain,))
        connection.commit()
    said = "the table swim is not as slackwater made it"
    assert said in [finding.what for finding in check_file(file, full=False)]


def test_a_rebuilt_table_that_says_the_same_is_no_finding(store: Store) -> None:
    """As Alembic rebuilds one: in quotes, the columns and rules in another order."""
    file = store.file
    store.close()
    with closing(sqlite3.connect(file)) as connection:
        (sql,) = connection.execute("SELECT sql FROM sqlite_master WHERE name = 'tombstone'").fetchone()
        connection.execute("DROP TABLE tombstone")
        rule = "UNIQUE (uid)"
        assert rule in sql
        start, end = sql.index("(") + 1, sql.rindex(")")
        columns = [part.strip() for part in sql[start:end].split(",") if rule not in part]
        body = ", ".join((*reversed(columns), rule))
        connection.execute(f'CREATE TABLE "tombstone" ({body}) STRICT')
        connection.commit()
    assert check_file(file, full=False) == []


def test_the_tables_of_this_version_are_all_that_the_program_knows() -> None:
    assert tables_of(SCHEMA) == sorted(METADATA.tables)


def test_every_table_has_a_number_and_a_seal(tmp_path: Path) -> None:
    Store.open(tmp_path / "x.db").close()
    with closing(sqlite3.connect(tmp_path / "x.db")) as connection:
        for name in tables_of(SCHEMA):
            assert {"id", "seal"} <= {row[1] for row in connection.execute(f"PRAGMA table_info({name})")}
