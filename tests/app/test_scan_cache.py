"""Lines kept from scan to scan: read back exactly, used only where they hold, never lost to a kill."""

from __future__ import annotations

import datetime as dt
import errno
import os
import stat
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

import tracker
from tests.builders import a_session, a_swim
from tests.tui.clubs import AT, TODAY, a_club
from tracker.app import scan as scanning
from tracker.app.demo import build_demo
from tracker.app.executor import Executor
from tracker.app.render_roster import render_changed_rows, render_roster
from tracker.app.scan import scan
from tracker.app.scan_cache import ScanCache, program_fingerprint
from tracker.errors import SlackwaterError
from tracker.output.rendered_row import RenderedRow
from tracker.remedies import Mend
from tracker.settings import DEFAULT
from tracker.store.database import Store
from tracker.technique.pipeline import roster


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> list[RenderedRow]:
    """The invented club: every verdict, links, rivals, what is due."""
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


def kept_of(folder: Path, lines: list[RenderedRow]) -> tuple[Path, dict[str, str]]:
    """Keep lines; return the file and what they rest on."""
    fingerprints = {line.swimmer: f"print of {number}" for number, line in enumerate(lines)}
    kept = ScanCache(folder, "x", "this program")
    kept.add(lines, fingerprints)
    kept.close(fingerprints)
    (file,) = folder.glob("lines-*")
    return file, fingerprints


def loaded(folder: Path, fingerprints: dict[str, str], program: str = "this program") -> list[RenderedRow]:
    return list(ScanCache(folder, "x", program).load(fingerprints, fingerprints))


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
    assert list(ScanCache(tmp_path, "x", "this program").load(fingerprints, [second.swimmer])) == [second]
    assert loaded(tmp_path, fingerprints, program="a later program") == []


def test_no_flipped_bit_is_told_and_no_other_line_lost(tmp_path: Path, demo: list[RenderedRow]) -> None:
    few = demo[:3]
    file, fingerprints = kept_of(tmp_path, few)
    whole = file.read_bytes()
    begins = whole.index(b"\n") + 1
    for place in range(begins, len(whole), 7):
        file.write_bytes(whole[:place] + bytes([whole[place] ^ 1 << place % 8]) + whole[place + 1 :])
        found = loaded(tmp_path, fingerprints)
        assert all(line in few for line in found), place
        assert len(found) >= 2, place


def test_after_half_a_line_the_next_ones_are_found(tmp_path: Path, demo: list[RenderedRow]) -> None:
    file, fingerprints = kept_of(tmp_path, demo[:2])
    whole = file.read_bytes()
    for place in range(whole.index(b"\n") + 1, len(whole), 31):
        file.write_bytes(whole[:place])
        kept = ScanCache(tmp_path, "x", "this program")
        kept.add(demo[:2], fingerprints)
        kept.close(fingerprints)
        assert sorted(loaded(tmp_path, fingerprints), key=by_need) == sorted(demo[:2], key=by_need), place


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
    (file,) = cache.glob("lines-*")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    with file.open("a") as stream:
        stream.write('["Ada')  # what a kill in the middle of a line leaves
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
    kept = ScanCache(tmp_path, "x", "this program")
    assert kept.load_fingerprints("1") is None
    kept.save_fingerprints("1", {"Ada": "a"})
    assert kept.load_fingerprints("1") == {"Ada": "a"}
    assert kept.load_fingerprints("2") is None
    assert ScanCache(tmp_path, "x", "a later program").load_fingerprints("1") is None
    next(tmp_path.glob("prints-*")).write_text("[]")
    assert kept.load_fingerprints("1") is None


def test_a_full_disk_is_named_and_what_was_kept_still_holds(tmp_path: Path, demo, monkeypatch) -> None:
    kept, fingerprints = ScanCache(tmp_path, "x", "this program"), {line.swimmer: "a" for line in demo}
    kept.add(demo[:2], fingerprints)

    def full(*_: object) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    said = rf"cannot keep lines in {tmp_path}: No space left on device; make room there$"
    with monkeypatch.context() as broken:
        broken.setattr(os, "fsync", full)
        with pytest.raises(SlackwaterError, match=said) as refused:
            kept.add(demo[2:4], fingerprints)
        assert refused.value.remedy is Mend.SCAN_ANEW
        broken.setattr(os, "open", full)
        with pytest.raises(SlackwaterError, match=said):
            kept.save_fingerprints("1", fingerprints)
    found = ScanCache(tmp_path, "x", "this program").load(fingerprints, fingerprints)
    assert {line.swimmer for line in found} >= {line.swimmer for line in demo[:2]}


def test_old_lines_are_cleared_away(tmp_path: Path) -> None:
    store, cache = a_club(tmp_path), tmp_path / "cache"
    for day in range(4):
        scanned(store, cache, today=TODAY.replace(day=1 + day))
    (file,) = cache.glob("lines-*")
    assert file.read_text().count("\n[") <= 2 * 4
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
