"""Erased means: no byte of them in the file, and everybody else as before, to the last bit and undo."""

from __future__ import annotations

import base64
import contextlib
import datetime as dt
import sqlite3
import tempfile
import zlib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.examples import examples
from tracker.errors import UnknownNameError, UsageError
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Choice, Consent, Swimmer
from tracker.model.told import Told
from tracker.model.work import Work
from tracker.store.database import Store
from tracker.store.erasing import apply_tombstones, erase, find_person_data, overwrite_free, tombstones
from tracker.store.history import unpacked
from tracker.store.tables import METADATA
from tracker.store.writing import Writer

DAY = dt.date(2026, 5, 4)
GONE, STAYS = "Zoë Kvist", "Bo Dahl"


def everything_of(label: str) -> list[Any]:
    """Return a record of every kind that names a swimmer."""
    return [
        Swimmer(swimmer=label, group="Masters", note=f"{label} likes mornings"),
        Consent(date=DAY, swimmer=label, purpose="pages", how="on paper"),
        Choice(date=DAY, swimmer=label, kind="choose", fault="breath-late", reason="race"),
        Swim(date=DAY, swimmer=label, test="t400", distance_m=400, time_s=405.0),
        ReviewItem(date=DAY, swimmer=label, reviewer="Maud", kind="score", item="breathing", value=2),
        FaultStep(date=DAY, swimmer=label, fault="breath-late", step="open", reviewer="Maud"),
        Work(from_date=DAY, swimmer=label, kind="cue", text="face back first"),
        Event(from_date=DAY, swimmer=label, kind="layoff"),
        Load(week=DAY, swimmer=label, sessions=3, metres=8000),
        Told(
            date=DAY, swimmer=label, verdict="plateau", p=0.9, since=DAY, link="breath-late:left", who="Maud"
        ),
    ]


def fill(store: Store, now: dt.datetime) -> None:
    """Write both swimmers, with changes, removals, a renaming and undone steps in the history."""
    for label in (STAYS, "Zoë Holm"):
        with store.write(who="Maud", what=f"add {label}", at=now) as writer:
            writer.add(everything_of(label))
    with store.write(who="Maud", what="log a test for 2 swimmers", at=now) as writer:
        both = [
            Swim(date=DAY, swimmer=label, test="t200", distance_m=200, time_s=190.0)
            for label in ("Zoë Holm", STAYS)
        ]
        writer.add(both)
    with store.write(who="Maud", what="delete swims of Zoë Holm and Bo Dahl", at=now) as writer:
        for kept in writer.all(Swim, test="t200"):
            writer.remove(Swim, kept.id)
    with store.write(who="Maud", what="edit Zoë Kvist", at=now) as writer:
        writer.change(Swimmer, writer.swimmer("Zoë Holm").id, swimmer=GONE)
    with store.write(who=GONE, what=f"edit the note of {GONE}", at=now) as writer:
        writer.change(Swimmer, writer.swimmer(GONE).id, note=f"{GONE} moved")
    with store.write(who="Maud", what=f"edit {STAYS}", at=now) as writer:
        writer.change(Swimmer, writer.swimmer(STAYS).id, group="Juniors")
    store.save_derived("weighed by 2026-05-01", "{}")


def encodings(label: str) -> dict[str, bytes]:
    """Return a label as the bytes by which a file may hold it."""
    plain = label.encode()
    return {
        "utf-8": plain,
        "utf-16-le": label.encode("utf-16-le"),
        "utf-16-be": label.encode("utf-16-be"),
        "latin-1": label.encode("latin-1"),
        "hex": plain.hex().encode(),
        "base64": base64.b64encode(plain).rstrip(b"="),
        "JSON": label.encode("ascii", "backslashreplace").replace(b"\\x", b"\\u00"),
    }


def hits(folder: Path, *labels: str) -> list[tuple[str, str]]:
    """Return file and encoding wherever a label is found in a folder, in any letter case."""
    return [
        (path.name, name)
        for path in sorted(folder.rglob("*"))
        if path.is_file()
        for label in labels
        for name, found in encodings(label).items()
        if found.lower() in path.read_bytes().lower()
    ]


def content(store: Store) -> list[str]:
    """Return what the history keeps compressed, as text."""
    with store.read() as reader:
        found = reader.connection.exec_driver_sql(
            "SELECT content FROM history_step WHERE content IS NOT NULL"
        ).scalars()
        return [str(unpacked(one)) for one in found]


def rows_of(store: Store, label: str | None) -> dict[str, list[tuple[Any, ...]]]:
    """Return every row that names a swimmer, by table."""
    with store.read() as reader:
        return {
            table.name: [
                tuple(row)
                for row in reader.connection.execute(
                    table.select().where(table.c.swimmer == label).order_by(table.c.id)
                )
            ]
            for table in METADATA.sorted_tables
            if "swimmer" in table.columns and not table.name.startswith("history_")
        }


@pytest.mark.file_only(reason="bytes of a file")
def test_nothing_of_an_erased_swimmer_is_left_in_any_encoding(store: Store, now: dt.datetime) -> None:
    """Database, -wal and -shm hold no byte of the name, old or new."""
    fill(store, now)
    assert store.file is not None
    assert hits(store.file.parent, GONE), "the search finds what is there"
    before = rows_of(store, STAYS)
    found = erase(store, GONE, DAY, who="Maud", at=now)
    assert overwrite_free(store)
    assert found.rows["swim"] == 1
    naming = {table.name for table in METADATA.sorted_tables if "swimmer" in table.columns}
    assert naming == set(found.rows), "every table that names a swimmer is emptied"
    assert hits(store.file.parent, GONE, "Zoë Holm") == []
    assert not any("Zo" in text for text in content(store))
    assert rows_of(store, STAYS) == before


def test_undo_still_takes_back_what_others_did(store: Store, now: dt.datetime) -> None:
    fill(store, now)
    erase(store, GONE, DAY, who="Maud", at=now)
    assert store.undo(at=now) == f"edit {STAYS}"
    assert store.undo(at=now) == "delete swims of (erased) and Bo Dahl"
    with store.read() as reader:
        assert [kept.record.swimmer for kept in reader.all(Swim, test="t200")] == [STAYS]
        assert reader.swimmer(STAYS).record.group == "Masters"
    assert store.undo(at=now) == "log a test for 2 swimmers"
    assert store.redo(at=now) == "log a test for 2 swimmers"
    assert store.redo(at=now) == "delete swims of (erased) and Bo Dahl"
    assert store.redo(at=now) == f"edit {STAYS}"
    with store.read() as reader:
        assert reader.labels() == [STAYS]
        assert reader.swimmer(STAYS).record.group == "Juniors"


def test_undone_changes_are_forgotten_too(store: Store, now: dt.datetime) -> None:
    fill(store, now)
    for _ in range(4):
        store.undo(at=now)
    assert any("Zo" in text for text in content(store))
    erase(store, "Zoë Holm", DAY, who="Maud", at=now)
    assert not any("Zo" in text for text in content(store))
    assert store.redo(at=now) == "delete swims of (erased) and Bo Dahl"
    assert store.redo(at=now) == f"edit {STAYS}"


@pytest.mark.file_only(reason="bytes of a file")
def test_somebody_whom_only_the_history_knows_is_erased_from_it(store: Store, now: dt.datetime) -> None:
    with store.write(who="Maud", what=f"add {GONE}", at=now) as writer:
        writer.add([Swimmer(swimmer=GONE)])
    store.undo(at=now)
    erase(store, GONE, DAY, who="Maud", at=now)
    assert overwrite_free(store)
    assert store.file is not None
    assert hits(store.file.parent, GONE) == []
    with store.read() as reader:
        assert [(line.what, line.swimmers) for line in reader.history()] == [("erase a swimmer", ())]


def test_a_longer_name_of_somebody_else_stays_whole(store: Store, now: dt.datetime) -> None:
    for label in ("Ana", "Ana Lee", "Anabel"):
        with store.write(who="Maud", what=f"add {label}", at=now) as writer:
            writer.add([Swimmer(swimmer=label)])
    erase(store, "Ana", DAY, who="Maud", at=now)
    with store.read() as reader:
        assert [line.what for line in reader.history()] == ["erase a swimmer", "add Anabel", "add Ana Lee"]
        assert reader.labels() == ["Ana Lee", "Anabel"]


def test_where_others_rows_name_them_is_reported_and_left(store: Store, now: dt.datetime) -> None:
    with store.write(who="Maud", what="add", at=now) as writer:
        writer.add([Swimmer(swimmer="Maud"), Swimmer(swimmer=STAYS), *everything_of(STAYS)[4:6]])
    places = {(found.table, found.column) for found in erase(store, "Maud", DAY, who="Maud", at=now).mentions}
    assert places == {("review_item", "reviewer"), ("fault_step", "reviewer")}
    with store.read() as reader:
        assert reader.all(ReviewItem)[0].record.reviewer == "Maud"
        assert [line.who for line in reader.history() if line.who == "Maud"] == []


def test_looking_changes_nothing_and_an_unknown_name_is_refused(store: Store, now: dt.datetime) -> None:
    fill(store, now)
    with store.read() as reader:
        before = reader.data_version()
    assert find_person_data(store, GONE).rows["event"] == 1
    with store.read() as reader:
        assert reader.data_version() == before
    with pytest.raises(UnknownNameError):
        erase(store, "Nobody", DAY, who="Maud", at=now)


@pytest.mark.file_only(reason="a backup is a file")
def test_a_restored_backup_brings_nobody_back(store: Store, now: dt.datetime, tmp_path: Path) -> None:
    """The tombstone names nobody, and who was erased stays erased."""
    fill(store, now)
    assert store.file is not None
    older = tmp_path / "older" / "slackwater.db"
    older.parent.mkdir()
    source, target = sqlite3.connect(store.file), sqlite3.connect(older)
    source.backup(target)
    source.close()
    target.close()
    erase(store, GONE, DAY, who="Maud", at=now)
    known = tombstones(store)
    assert len(known) == 1
    assert GONE not in repr(known)
    back = Store.open(older)
    assert apply_tombstones(back, known, day=DAY) == 1
    assert apply_tombstones(back, known, day=DAY) == 0
    assert hits(older.parent, GONE, "Zoë Holm") == []
    assert tombstones(back) == known
    with back.read() as reader:
        assert reader.labels() == [STAYS]
    back.close()


def test_a_new_swimmer_of_the_same_label_is_somebody_else(store: Store, now: dt.datetime) -> None:
    fill(store, now)
    erase(store, GONE, DAY, who="Maud", at=now)
    with store.write(who="Maud", what="add", at=now) as writer:
        writer.add([Swimmer(swimmer=GONE)])
    assert apply_tombstones(store, tombstones(store), day=DAY) == 0
    with store.read() as reader:
        assert GONE in reader.labels()


@pytest.mark.file_only(reason="bytes of a file")
def test_traces_are_owned_up_to_while_somebody_holds_an_older_state(
    store: Store, now: dt.datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tracker.store.erasing._TIMEOUT_S", 0.2)
    fill(store, now)
    assert store.file is not None
    other = sqlite3.connect(store.file, isolation_level=None)
    other.execute("BEGIN")
    other.execute("SELECT count(*) FROM swim").fetchone()
    erase(store, GONE, DAY, who="Maud", at=now)
    assert not overwrite_free(store)
    other.execute("COMMIT")
    other.close()
    assert overwrite_free(store)
    assert hits(store.file.parent, GONE) == []


def test_the_searcher_itself_reads_compressed_pages() -> None:
    assert unpacked(zlib.compress(b'["Zo"]')) == ["Zo"]


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["swim", "swim", "both", "note", "rename", "remove", "undo", "undo", "redo"]),
        st.sampled_from(["a", "b"]),
        st.integers(0, 9),
    ),
    max_size=25,
)


def walk(store: Store, steps: list[tuple[str, str, int]], now: dt.datetime) -> dict[str, str]:
    """Do random things to two swimmers; return their labels at the end, by row."""
    rows = {}
    for key, label in (("a", GONE), ("b", STAYS)):
        with store.write(who="Maud", what=f"add {label}", at=now) as writer:
            rows[key] = writer.add([Swimmer(swimmer=label)])[0]
    for what, key, number in steps:
        try:
            if what in {"undo", "redo"}:
                store.undo(at=now) if what == "undo" else store.redo(at=now)
                continue
            with store.write(who="Maud", what=what, at=now) as writer:
                one_step(writer, what, rows, key, number)
        except (UsageError, UnknownNameError):
            continue
    with store.read() as reader:
        return {
            key: kept.record.swimmer for key in rows for kept in reader.all(Swimmer) if kept.id == rows[key]
        }


def one_step(writer: Writer, what: str, rows: dict[str, int], key: str, number: int) -> None:
    label = writer.one(Swimmer, rows[key]).record.swimmer
    if what == "swim":
        writer.add([Swim(date=DAY, swimmer=label, test="t200", distance_m=200, time_s=190.0 + number)])
    elif what == "both":
        labels = [writer.one(Swimmer, row).record.swimmer for row in rows.values()]
        writer.add([Load(week=DAY, swimmer=one, sessions=number) for one in labels])
    elif what == "note":
        writer.change(Swimmer, rows[key], note=f"note {number} of {label}")
    elif what == "rename":
        writer.change(Swimmer, rows[key], swimmer=f"{GONE if key == 'a' else STAYS} {number}")
    else:
        found = writer.all(Swim, swimmer=label)
        if found:
            writer.remove(Swim, found[number % len(found)].id)


@settings(max_examples=examples(25), deadline=None, derandomize=True)
@given(steps=STEPS)
def test_after_any_history_an_erased_swimmer_is_gone_and_undo_goes_on(
    steps: list[tuple[str, str, int]],
) -> None:
    """Erased means erased, and any sequence of edits is reversible."""
    now = dt.datetime(2026, 6, 30, 12, tzinfo=dt.UTC)
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(Path(folder) / "slackwater.db")
        labels = walk(store, steps, now)
        if "a" not in labels:
            store.close()
            return
        before = rows_of(store, labels.get("b"))
        erase(store, labels["a"], DAY, who="Maud", at=now)
        assert overwrite_free(store) == (store.file is not None)
        assert hits(Path(folder), GONE) == []
        assert not any("Zo" in text for text in content(store))
        assert rows_of(store, labels.get("b")) == before
        taken_back = 0
        with contextlib.suppress(UsageError):
            while store.undo(at=now):
                taken_back += 1
        with store.read() as reader:
            assert reader.labels(archived=True) == []
            assert reader.all(Swim) == []
            assert reader.all(Load) == []
        for _ in range(taken_back):
            store.redo(at=now)
        assert [(row[3:]) for row in rows_of(store, labels.get("b"))["swim"]] == [
            (row[3:]) for row in before["swim"]
        ]
        store.close()
