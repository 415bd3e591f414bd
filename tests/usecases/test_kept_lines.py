"""Lines kept from scan to scan: read back exactly, used only where they hold, never lost to a kill."""

from __future__ import annotations

import dataclasses
import json
import stat
from pathlib import Path

import pytest

from tests.builders import a_swim
from tests.tui.clubs import AT, TODAY, a_club
from tracker.faults.roster_line import RosterLine, need
from tracker.output.as_json import scan_json
from tracker.pipeline import roster
from tracker.settings import DEFAULT
from tracker.store.database import Store
from tracker.usecases import scan_in_parts as scanning
from tracker.usecases.build_demo import build_demo
from tracker.usecases.crew import Crew
from tracker.usecases.kept_lines import KeptLines
from tracker.usecases.plain_values import from_plain, to_plain
from tracker.usecases.scan import each_line_changed, scan


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Store:
    """The invented club: every verdict, links, rivals, what is due."""
    made = build_demo(tmp_path_factory.mktemp("demo") / "club", settings=DEFAULT)
    return made.store


def scanned(store: Store, cache: Path, **more) -> list[RosterLine]:
    asked = {"as_of": TODAY, "settings": DEFAULT, **more}
    return sorted(each_line_changed(store, cache=cache, **asked), key=need)


def told(lines: list[RosterLine]) -> str:
    """What anybody is told: a part of another size may differ in the last bit of a number."""
    return json.dumps(scan_json(lines, TODAY))


def count_judged(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    judged: list[str] = []

    def counting(club, settings, **more):
        judged.extend(club.swimmers)
        return roster(club, settings, **more)

    monkeypatch.setattr(scanning, "roster", counting)
    return judged


def test_a_line_is_the_same_out_of_json(demo: Store) -> None:
    for detail in (False, True):
        for line in scan(demo, as_of=TODAY, settings=DEFAULT, detail=detail):
            again = from_plain(RosterLine, json.loads(json.dumps(to_plain(line))))
            assert again == line
            assert repr(again) == repr(line)


def test_nothing_is_judged_twice_and_only_what_changed_anew(tmp_path: Path, monkeypatch) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    judged = count_judged(monkeypatch)
    first = scanned(store, cache)
    assert len(judged) == len(first) == 4
    assert scanned(store, cache) == first == scan(store, as_of=TODAY, settings=DEFAULT)
    assert {stat.S_IMODE(file.stat().st_mode) for file in cache.iterdir()} == {0o600}
    judged.clear()
    assert [line.swimmer for line in scanned(store, cache, group=first[0].group)] == [
        line.swimmer for line in first if line.group == first[0].group
    ]
    with store.write(who="test", what="log", at=AT) as writer:
        writer.add([a_swim(398, 404.0, swimmer="Dan Holt")])
    after = scanned(store, cache)
    assert judged == ["Dan Holt"]
    assert told(after) == told(scan(store, as_of=TODAY, settings=DEFAULT))


def test_a_scan_broken_off_goes_on_where_it_stopped(tmp_path: Path, monkeypatch) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    monkeypatch.setattr(scanning, "PART", 1)

    def stop(done: int, _of: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        scanned(store, cache, progress=stop)
    (file,) = cache.glob("lines-*")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    with file.open("a") as stream:
        stream.write('["Ada')  # what a kill in the middle of a line leaves
    judged = count_judged(monkeypatch)
    lines = scanned(store, cache)
    assert len(judged) == 2
    assert told(lines) == told(scan(store, as_of=TODAY, settings=DEFAULT))
    judged.clear()
    assert scanned(store, cache) == lines
    assert judged == []


def test_what_cannot_be_read_is_worked_out(tmp_path: Path) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    lines = scanned(store, cache)
    (file,) = cache.glob("lines-*")
    for damage in (b"", b"\xff\xfe", b"another form\n[]\n", file.read_bytes().replace(b'"', b"'")):
        file.write_bytes(damage)
        assert scanned(store, cache) == lines


def test_of_lines_kept_twice_one_is_told(tmp_path: Path, monkeypatch) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    lines = scanned(store, cache)
    (file,) = cache.glob("lines-*")
    with file.open("a") as stream:  # as two scans at once leave it
        stream.writelines(file.read_text().splitlines(keepends=True)[1:])
    judged = count_judged(monkeypatch)
    assert scanned(store, cache) == lines
    assert judged == []


def test_prints_hold_for_one_state_of_the_data_only(tmp_path: Path) -> None:
    kept = KeptLines(tmp_path, "x")
    assert kept.known_prints("1") is None
    kept.keep_prints("1", {"Ada": "a"})
    assert kept.known_prints("1") == {"Ada": "a"}
    assert kept.known_prints("2") is None
    next(tmp_path.glob("prints-*")).write_text("[]")
    assert kept.known_prints("1") is None


def test_old_lines_are_cleared_away(tmp_path: Path) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    for day in range(4):
        scanned(store, cache, as_of=TODAY.replace(day=1 + day))
    (file,) = cache.glob("lines-*")
    assert len(file.read_text().splitlines()) <= 1 + 2 * 4


def test_all_cores_say_the_same_byte_for_byte(tmp_path: Path, monkeypatch) -> None:
    store = a_club(tmp_path)
    monkeypatch.setattr(scanning, "PART", 1)
    plain = scan(store, as_of=TODAY, settings=DEFAULT)
    seen: list[tuple[int, int]] = []
    lines = scan(
        store, as_of=TODAY, settings=DEFAULT, crew=Crew(workers=2), progress=lambda *far: seen.append(far)
    )
    assert lines == plain
    assert seen == [(1, 4), (2, 4), (3, 4), (4, 4)]


def test_kept_lines_of_other_fields_are_another_form(tmp_path: Path, monkeypatch) -> None:
    before = KeptLines(tmp_path, "x")._head
    other = dataclasses.make_dataclass("RosterLine", [("swimmer", str)], frozen=True)
    monkeypatch.setattr("tracker.usecases.kept_lines.RosterLine", other)
    assert KeptLines(tmp_path, "x")._head != before
