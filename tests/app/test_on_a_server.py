"""One club on both databases: what is said of it, what leaves it and what undo does are the same."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.builders import NOW, TODAY, a_session
from tracker.app.explain import why
from tracker.app.export_club import export_club
from tracker.app.import_club import import_club
from tracker.app.next_step import propose_next
from tracker.app.scan import scan
from tracker.model.swim import Swim
from tracker.output.as_json import scan_json
from tracker.store.database import Store

CLUB = Path(__file__).parents[2] / "fixtures" / "club"


def filled(place: str, folder: Path = CLUB) -> Store:
    store = Store.open(place)
    assert import_club(a_session(store), folder).problems == ()
    return store


@pytest.fixture(scope="module")
def both(new_database, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Store, Store]]:
    file = filled(str(tmp_path_factory.mktemp("both") / "club.db"))
    server = filled(new_database())
    yield file, server
    file.close()
    server.close()


def content(store: Store, folder: Path) -> dict[str, bytes]:
    export_club(a_session(store), folder, formats=("csv", "jsonl"))
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def test_moving_a_club_there_and_back_is_identical_to_the_byte(both, tmp_path: Path) -> None:
    file, server = both
    before = content(file, tmp_path / "file")
    assert content(server, tmp_path / "server") == before
    back = filled(str(tmp_path / "back.db"), tmp_path / "server")
    assert content(back, tmp_path / "back") == before
    back.close()


def test_the_roster_why_and_next_are_the_same(both) -> None:
    rosters = [scan(a_session(store)) for store in both]
    assert scan_json(rosters[0], TODAY) == scan_json(rosters[1], TODAY)
    name = rosters[0][0].swimmer
    assert why(a_session(both[0]), name) == why(a_session(both[1]), name)
    nexts = [propose_next(a_session(store), name) for store in both]
    assert nexts[0] == nexts[1]


def test_edits_undo_and_history_are_the_same(both) -> None:
    told = []
    for store in both:
        with store.read() as reader:
            kept = reader.all(Swim)[0]
        with store.write(who="coach", what="edit", at=NOW) as writer:
            writer.change(Swim, kept.id, kept.version, time_s=kept.record.time_s + 1, note="=1")
        with store.write(who="coach", what="delete", at=NOW) as writer:
            writer.remove(Swim, kept.id)
        steps = [store.undo(at=NOW), store.undo(at=NOW), store.redo(at=NOW), store.undo(at=NOW)]
        with store.read() as reader:
            after = reader.one(Swim, kept.id)
            lines = [(line.what, line.state, line.swimmers) for line in reader.history()]
        assert after.record == kept.record
        told.append((steps, after, lines))
    assert told[0] == told[1]
