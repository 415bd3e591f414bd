"""A whole migration as its user meets it: an old database, the next version of the program."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from tests.store.next_version import Program, make_next_version
from tracker.records.event import Event
from tracker.records.swim import Swim
from tracker.records.swimmer import Swimmer
from tracker.store.database import Store

pytestmark = pytest.mark.file_only(
    reason="files of old versions; for a server see test_next_version_on_server"
)

NOW = dt.datetime(2026, 6, 30, 12, 0, tzinfo=dt.UTC)
DAY = dt.date(2026, 5, 4)
ANA, BO = "Ana Prova", "Bo Prova"


@pytest.fixture(scope="module")
def later(tmp_path_factory: pytest.TempPathFactory) -> Program:
    return make_next_version(tmp_path_factory.mktemp("later"))


def a_swim(time_s: float, **fields: object) -> Swim:
    return Swim(date=DAY, swimmer=ANA, test="t400", distance_m=400, time_s=time_s, **fields)


def log(store: Store, what: str, *records: Swim | Swimmer | Event) -> None:
    with store.write(who="coach", what=what, at=NOW) as writer:
        writer.add(records)


def fill(store: Store) -> None:
    """Rows that stand, one changed, one removed, one taken back: undo and redo keep something of each."""
    log(store, "begin", Swimmer(swimmer=ANA), Swimmer(swimmer=BO))
    log(store, "log", a_swim(405.5, note="ünïcode", rest_s=30, strokes="17 18"), a_swim(404))
    log(store, "event", Event(from_date=DAY, swimmer=ANA, kind="camp"))
    with store.write(who="coach", what="correct", at=NOW) as writer:
        writer.change(Swim, 1, time_s=399.25)
    with store.write(who="coach", what="delete", at=NOW) as writer:
        writer.remove(Swim, 2)
    log(store, "too much", a_swim(300))
    store.undo(at=NOW)


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A file of this version."""
    file = tmp_path / "club.db"
    store = Store.open(file)
    fill(store)
    store.close()
    return file


def test_an_old_file_is_whole_under_the_next_version(old: Path, later: Program) -> None:
    assert later("--db", str(old), "swims", ANA).returncode == 0
    checked = later("--db", str(old), "check")
    assert (checked.returncode, checked.stdout) == (0, f"{old}: whole; no backup yet\n"), checked
