"""Rows cached from scan to scan: read back exactly, used only where they hold, never lost to a kill."""

from __future__ import annotations

import datetime as dt
import os
import sqlite3
import stat
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

import tracker
from tests.builders import a_session, a_swim
from tests.tui.clubs import AT, TODAY, a_club
from tracker.app import scan as scanning
from tracker.app.demo import build_demo
from tracker.app.executor import Executor
from tracker.app.render_roster import program_fingerprint, render_changed_rows, render_roster, scan_cache
from tracker.app.scan import scan
from tracker.errors import SlackwaterError
from tracker.output.rendered_row import RenderedRow
from tracker.remedies import Mend
from tracker.settings import DEFAULT
from tracker.store.database import Store
from tracker.store.row_cache import RowCache
from tracker.technique.pipeline import roster


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> list[RenderedRow]:
    """The invented club: every verdict, links, confounders, what is due."""
    made = build_demo(tmp_path_factory.mktemp("demo") / "club", settings=DEFAULT)
    return list(render_roster(a_session(made.store, today=TODAY)))


def scanned(store: Store, cache: Path, *, today: dt.date = TODAY, **more: Any) -> list[RenderedRow]:
    return sorted(render_changed_rows(a_session(store, today=today), cache=cache, **more), key=by_need)


def anew(store: Store) -> list[RenderedRow]:
    return sorted(render_roster(a_session(store, today=TODAY)), key=by_need)


def by_need(line: RenderedRow) -> tuple[tuple[int, int], str]:
    return line.need


def told(lines: Iterable[RenderedRow]) -> list[tuple[str, str]]:
    """What anybody is told: a part of another size may differ in the last bit of a number."""
    return [(line.row, line.json) for line in lines]


def cache_in(folder: Path, program: str = "abc") -> RowCache:
    return RowCache(folder, "x", program)


def kept_of(folder: Path, lines: list[RenderedRow]) -> tuple[Path, dict[str, str]]:
    """Keep lines; return the file and what they rest on."""
    fingerprints = {line.swimmer: f"print of {number}" for number, line in enumerate(lines)}
    kept = cache_in(folder)
    kept.add("line", ((line.swimmer, fingerprints[line.swimmer], line.packed()) for line in lines))
    return kept.file, fingerprints


def loaded(folder: Path, fingerprints: dict[str, str], program: str = "abc") -> list[RenderedRow]:
    """Return the lines that are kept under these fingerprints, in the order of those."""
    rows = [
        RenderedRow.unpacked(content)
        for _, _, content in cache_in(folder, program).load("line", fingerprints)
    ]
    return sorted(rows, key=lambda row: list(fingerprints).index(row.swimmer))


def count_judged(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    judged: list[str] = []

    def counting(club, settings, **more):
        judged.extend(club.swimmers)
        return roster(club, settings, **more)

    monkeypatch.setattr(scanning, "roster", counting)
    return judged


def test_a_line_that_was_kept_is_the_same(tmp_path: Path, demo: list[RenderedRow]) -> None:
    _, fingerprints = kept_of(tmp_path, demo)
    assert loaded(tmp_path, fingerprints) == demo
    assert [repr(line) for line in loaded(tmp_path, fingerprints)] == [repr(line) for line in demo]


def test_a_line_holds_for_its_swimmer_its_print_and_its_program_only(tmp_path: Path, demo) -> None:
    _, fingerprints = kept_of(tmp_path, demo)
    first, second, *_ = demo
    swapped = {first.swimmer: fingerprints[second.swimmer], second.swimmer: fingerprints[first.swimmer]}
    assert loaded(tmp_path, fingerprints | swapped) == demo[2:]
    assert loaded(tmp_path, fingerprints | {first.swimmer: "another"}) == demo[1:]
    assert loaded(tmp_path, {second.swimmer: fingerprints[second.swimmer]}) == [second]
    assert list(cache_in(tmp_path).load("screen")) == []
    assert loaded(tmp_path, fingerprints, program="def") == []


def test_no_flipped_bit_is_told_and_the_file_can_be_used_again(tmp_path: Path, demo) -> None:
    few = demo[:3]
    file, fingerprints = kept_of(tmp_path, few)
    whole = file.read_bytes()
    for place in range(0, len(whole), 23):
        file.write_bytes(whole[:place] + bytes([whole[place] ^ 1 << place % 8]) + whole[place + 1 :])
        assert all(line in few for line in loaded(tmp_path, fingerprints)), place
        if place % 20 == 0:
            for _ in range(2):  # damage that only writing meets empties it; the next one keeps
                kept_of(tmp_path, few)
            assert loaded(tmp_path, fingerprints) == few, place


def test_of_half_a_file_nothing_false_is_told(tmp_path: Path, demo: list[RenderedRow]) -> None:
    few = demo[:2]
    file, fingerprints = kept_of(tmp_path, few)
    whole = file.read_bytes()
    for place in range(0, len(whole), 1_111):
        file.write_bytes(whole[:place])
        assert all(line in few for line in loaded(tmp_path, fingerprints)), place
        for _ in range(2):
            kept_of(tmp_path, few)
        assert loaded(tmp_path, fingerprints) == few, place


def test_this_program_is_told_from_any_other(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "words").mkdir()
    file = tmp_path / "words" / "some.py"
    file.write_text("a = 1")
    monkeypatch.setattr(tracker, "__file__", str(tmp_path / "__init__.py"))
    before = program_fingerprint()
    (tmp_path / "__pycache__").mkdir()
    (tmp_path / "__pycache__" / "some.pyc").write_text("compiled")
    assert program_fingerprint() == before
    file.write_text("a = 23")
    assert program_fingerprint() != before
    later = program_fingerprint()
    os.utime(file, (1, 1))
    assert program_fingerprint() != later
    (tmp_path / "other.py").write_text("")
    assert len({before, later, program_fingerprint()}) == 3


def test_nothing_is_judged_twice_and_only_what_changed_anew(tmp_path: Path, monkeypatch) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    judged = count_judged(monkeypatch)
    first = scanned(store, cache)
    assert len(judged) == len(first) == 4
    assert scanned(store, cache) == first == anew(store)
    assert {stat.S_IMODE(file.stat().st_mode) for file in cache.iterdir()} == {0o600}
    judged.clear()
    group = first[0].row.split("\t")[1]
    assert scanned(store, cache, group=group) == [line for line in first if line.row.split("\t")[1] == group]
    with store.write(who="test", what="log", at=AT) as writer:
        writer.add([a_swim(398, 404.0, swimmer="Dan Holt")])
    after = scanned(store, cache)
    assert judged == ["Dan Holt"]
    assert told(after) == told(anew(store))


def test_a_scan_broken_off_goes_on_where_it_stopped(tmp_path: Path, monkeypatch) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    monkeypatch.setattr(scanning, "PART", 1)

    def stop(done: int, _of: int) -> None:
        if done == 2:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        scanned(store, cache, progress=stop)
    (file,) = cache.glob("rows-*")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    judged = count_judged(monkeypatch)
    lines = scanned(store, cache)
    assert len(judged) == 2
    assert told(lines) == told(anew(store))
    judged.clear()
    assert scanned(store, cache) == lines
    assert judged == []


def test_what_cannot_be_read_is_worked_out(tmp_path: Path) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    lines = scanned(store, cache)
    (file,) = cache.glob("rows-*")
    for damage in (b"", b"\xff\xfe", b"another form\n[]\n" * 500, file.read_bytes().replace(b'"', b"'")):
        file.write_bytes(damage)
        assert scanned(store, cache) == lines


def test_what_lines_rest_on_is_read_off_for_one_state_of_the_data_only(tmp_path: Path, monkeypatch) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    asked: list[str] = []
    real = scanning.roster_fingerprints

    def counting(*args, **more) -> dict[str, str]:
        asked.append("once")
        return real(*args, **more)

    monkeypatch.setattr(scanning, "roster_fingerprints", counting)
    first = scanned(store, cache)
    assert scanned(store, cache) == first
    assert len(asked) == 1
    with store.write(who="test", what="log", at=AT) as writer:
        writer.add([a_swim(398, 404.0, swimmer="Dan Holt")])
    scanned(store, cache)
    assert len(asked) == 2
    scanned(store, cache, today=TODAY.replace(day=2))
    assert len(asked) == 3


def test_a_full_disk_is_named_and_what_was_kept_still_holds(tmp_path: Path, demo, monkeypatch) -> None:
    file, fingerprints = kept_of(tmp_path, demo[:2])
    said = rf"cannot keep lines in {tmp_path}: .*full; make room there$"
    connect, pages = sqlite3.connect, file.stat().st_size // 4096

    def full(file: Path, **more: Any) -> sqlite3.Connection:
        connection: sqlite3.Connection = connect(file, **more)
        connection.execute(f"PRAGMA max_page_count = {pages}")
        return connection

    with monkeypatch.context() as broken:
        broken.setattr(sqlite3, "connect", full)
        with pytest.raises(SlackwaterError, match=said) as refused:
            kept_of(tmp_path, [line._replace(json="x" * 10_000) for line in demo])
        assert refused.value.remedy is Mend.SCAN_ANEW
    assert loaded(tmp_path, fingerprints) == demo[:2]


def test_while_another_writes_nothing_is_kept_and_nothing_fails(tmp_path: Path, demo, monkeypatch) -> None:
    connect = sqlite3.connect
    monkeypatch.setattr(
        sqlite3, "connect", lambda file, isolation_level: connect(file, 0, isolation_level=isolation_level)
    )
    file, fingerprints = kept_of(tmp_path, demo[:2])
    with closing(connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        kept_of(tmp_path, demo)
        assert loaded(tmp_path, fingerprints) == demo[:2]


def test_old_lines_are_cleared_away(tmp_path: Path) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    for day in range(4):
        scanned(store, cache, today=TODAY.replace(day=1 + day))
    assert len(list(scan_cache(cache, a_session(store)).load("line"))) <= 2 * 4
    assert scanned(store, cache, today=TODAY.replace(day=4)) == scanned(
        store, tmp_path / "other", today=TODAY.replace(day=4)
    )


def test_all_cores_say_the_same_byte_for_byte(tmp_path: Path, monkeypatch) -> None:
    store = a_club(tmp_path)
    monkeypatch.setattr(scanning, "PART", 1)
    plain = scan(a_session(store, today=TODAY))
    seen: list[tuple[int, int]] = []
    lines = scan(
        a_session(store, today=TODAY), executor=Executor(workers=2), progress=lambda *far: seen.append(far)
    )
    assert lines == plain
    assert seen == [(1, 4), (2, 4), (3, 4), (4, 4)]
