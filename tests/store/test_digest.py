"""A digest that is there fits, whatever slackwater did; and no flipped byte fits it."""

from __future__ import annotations

import datetime as dt
import errno
import os
import random
import signal
import sqlite3
import stat
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from tracker.app.check import check_store
from tracker.app.copies import restore
from tracker.errors import SlackwaterError
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store import checksums as digest
from tracker.store import sqlite
from tracker.store.checking import check_file, mend
from tracker.store.checksums import digest_beside, has_digest, matches_digest, remove_digest, write_digest
from tracker.store.copies import copy_file
from tracker.store.database import Store
from tracker.store.erasing import erase, overwrite_free

pytestmark = pytest.mark.file_only(reason="a server looks after its own files")

DAY = dt.date(2026, 5, 4)
NOW = dt.datetime(2026, 6, 30, 12, 0, tzinfo=dt.UTC)
STRANGE = "is not byte for byte as slackwater left it; a failing disk or another program changed it"


def add(store: Store, label: str, tests: int = 30) -> None:
    with store.write(who="c", what="fill", at=NOW) as writer:
        swims = [Swim(date=DAY, swimmer=label, distance_m=400, time_s=400 + n) for n in range(tests)]
        writer.add([Swimmer(swimmer=label), *swims])


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "club.db"
    store = Store.open(path)
    for label in ("Ana Prova", "Bo Dahl"):
        add(store, label)
    store.undo(at=NOW)
    store.close()
    return path


def test_closing_leaves_a_digest_that_fits_and_that_only_the_owner_reads(file: Path) -> None:
    assert matches_digest(file) is True
    assert stat.S_IMODE(digest_beside(file).stat().st_mode) == 0o600
    assert check_file(file, full=True) == []


def test_writing_takes_the_digest_away_before_anything_changes(file: Path) -> None:
    store = Store.open(file)
    with store.write(who="c", what="add", at=NOW):
        assert not has_digest(file)
    assert matches_digest(file) is None
    store.close()
    assert matches_digest(file) is True


def test_reading_leaves_the_digest_alone(file: Path) -> None:
    before = digest_beside(file).stat()
    store = Store.open(file)
    with store.read() as reader:
        assert reader.count(Swim) == 30
    store.close()
    assert digest_beside(file).stat() == before


def test_every_flipped_byte_is_noticed_whatever_the_file_times_say(file: Path) -> None:
    raw, times = file.read_bytes(), file.stat()
    chance = random.Random(7)  # noqa: S311
    for _ in range(60):
        flipped = bytearray(raw)
        flipped[chance.randrange(len(raw))] ^= 1 << chance.randrange(8)
        file.write_bytes(flipped)
        os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))
        assert check_file(file, full=True)
    file.write_bytes(raw)
    assert check_file(file, full=True) == []


def test_a_byte_in_unused_space_is_reported_and_mended_by_taking_it_as_it_is(file: Path) -> None:
    """The middle of a page that holds no row: SQLite itself has nothing to say about it."""
    raw = file.read_bytes()
    page = int.from_bytes(raw[16:18], "big")
    for start in range(page, len(raw), page):
        cells = int.from_bytes(raw[start + 3 : start + 5], "big")
        first = int.from_bytes(raw[start + 5 : start + 7], "big")
        if raw[start] == 13 and first - 8 - 2 * cells > 200:  # a table's leaf with a wide gap
            place = start + first - 100
            break
    else:
        pytest.fail("no page has room")
    file.write_bytes(raw[:place] + bytes([raw[place] ^ 1]) + raw[place + 1 :])
    assert [finding.what for finding in check_file(file, full=True)] == [STRANGE]
    checked = check_store(file, fix=True)
    assert [finding.what for finding in checked.findings] == [STRANGE]
    assert checked.remaining == ()
    assert matches_digest(file) is True


def test_another_programs_change_is_reported(file: Path) -> None:
    with closing(sqlite3.connect(file)) as connection, connection:
        connection.execute("CREATE TABLE x (y)")
        connection.execute("DROP TABLE x")
    assert STRANGE in [finding.what for finding in check_file(file, full=True)]


def _writes(file: Path, turn: int) -> None:
    store = Store.open(file)
    add(store, f"Swimmer {turn}", tests=3)
    store.close()


def _takes_back(file: Path, turn: int) -> None:
    _writes(file, turn)
    store = Store.open(file)
    store.undo(at=NOW)
    store.close()


def _erases(file: Path, turn: int) -> None:
    _writes(file, turn)
    store = Store.open(file)
    erase(store, f"Swimmer {turn}", DAY, at=NOW, who="c")
    overwrite_free(store)
    store.close()


def _restores(file: Path, turn: int) -> None:
    copy = copy_file(file, file.with_name(f"copy {turn}.db")).path
    _writes(file, turn)
    restore(file, copy, at=NOW)


def _mends(file: Path, _turn: int) -> None:
    mend(file)


def _in_turn(file: Path, turn: int) -> None:
    """One stays open while another process writes and closes, then writes itself."""
    store = Store.open(file)
    store.save_derived("a", str(turn))
    words = "import sys; from tracker.store.database import Store; s = Store.open(sys.argv[1]); "
    other = f"{words} s.save_derived('b', '{turn}'); s.close()"
    subprocess.run([sys.executable, "-c", other, str(file)], check=True)
    store.save_derived("a", "last")
    assert not has_digest(file)
    store.close()


WAYS: tuple[Callable[[Path, int], None], ...] = (_writes, _takes_back, _erases, _restores, _mends, _in_turn)


@pytest.mark.parametrize("more", [3, pytest.param(18, marks=pytest.mark.thorough)])
def test_no_way_of_changing_the_file_leaves_a_digest_that_does_not_fit(file: Path, more: int) -> None:
    chance = random.Random(3)  # noqa: S311
    for turn, way in enumerate([*WAYS, *chance.choices(WAYS, k=more)]):
        way(file, turn)
        assert matches_digest(file) is True, way.__name__
        assert check_store(file).findings == (), way.__name__


def test_killed_while_writing_leaves_no_digest_and_the_next_to_close_makes_one(file: Path) -> None:
    words = (
        "import datetime as dt, sys, os, signal\n"
        "from tracker.store.database import Store\n"
        "store = Store.open(sys.argv[1])\n"
        "store.save_derived('a', '1')\n"
        "os.kill(os.getpid(), signal.SIGKILL)\n"
    )
    done = subprocess.run([sys.executable, "-c", words, str(file)], check=False)
    assert done.returncode == -signal.SIGKILL
    assert matches_digest(file) is None
    assert check_file(file, full=True) == []
    Store.open(file).close()
    assert matches_digest(file) is True


def test_a_large_file_gets_its_digest_from_a_full_check_alone(file: Path) -> None:
    remove_digest(file)
    write_digest(file, largest=1000)
    assert not has_digest(file)
    check_store(file)
    assert matches_digest(file) is True


def test_none_is_made_while_another_writes(file: Path) -> None:
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        remove_digest(file)
        write_digest(file)
        assert not has_digest(file)


def test_a_digest_that_cannot_be_removed_stops_the_writer(file: Path) -> None:
    digest_beside(file).unlink()
    digest_beside(file).mkdir()
    store = Store.open(file)
    with pytest.raises(SlackwaterError, match=r"cannot remove .*-digest: .*; nothing was changed"):
        store.save_derived("a", "1")
    store.close()


def test_a_link_to_the_file_shares_its_digest(file: Path, tmp_path: Path) -> None:
    link = tmp_path / "elsewhere" / "link.db"
    link.parent.mkdir()
    link.symlink_to(file)
    store = Store.open(link)
    add(store, "Cy Test")
    store.close()
    assert list(link.parent.iterdir()) == [link]
    assert check_store(file).findings == check_store(link).findings == ()
    assert matches_digest(file) is True


def test_moving_to_a_network_share_and_back_is_no_strange_change(file: Path, monkeypatch) -> None:
    for there in (True, False):
        monkeypatch.setattr(sqlite, "is_on_network", lambda _file, there=there: there)
        store = Store.open(file)
        with store.read():
            pass
        store.close()
        assert check_store(file).findings == (), there
        assert matches_digest(file) is True
        digest_beside(file).write_text("of another file\n")
        Store.open(file).close()
        assert matches_digest(file) is False, "opening again leaves the digest alone"
        check_store(file, fix=True)


def test_another_that_closes_just_before_the_file_is_packed_leaves_no_stale_digest(file: Path) -> None:
    words = (
        "import sys, time; from pathlib import Path; from tracker.store import digest\n"
        "found = digest._digest\n"
        "def slowly(stream):\n"
        "    print('reading', flush=True); time.sleep(1); return found(stream)\n"
        "digest._digest = slowly\n"
        "digest.write_digest(Path(sys.argv[1]))\n"
    )
    store = Store.open(file)
    store.save_derived("a", "1")
    with subprocess.Popen([sys.executable, "-c", words, str(file)], stdout=subprocess.PIPE) as other:
        assert other.stdout is not None
        other.stdout.readline()
        assert overwrite_free(store)
    store.close()
    assert matches_digest(file) is True


def test_a_share_that_does_not_flush_folders_takes_writes(file: Path, monkeypatch) -> None:
    flush = os.fsync

    def refusing(descriptor: int) -> None:
        if stat.S_ISDIR(os.fstat(descriptor).st_mode):
            raise OSError(errno.EINVAL, os.strerror(errno.EINVAL))
        flush(descriptor)

    monkeypatch.setattr(os, "fsync", refusing)
    store = Store.open(file)
    store.save_derived("a", "1")
    store.close()
    assert matches_digest(file) is True


def test_a_place_that_the_disk_cannot_read_is_a_finding(file: Path, monkeypatch) -> None:
    def broken(_stream: object) -> str:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    monkeypatch.setattr(digest, "_digest", broken)
    found = check_file(file, full=True)
    assert [finding.what for finding in found] == ["cannot be read to its end: Input/output error"]
    assert not found[0].mendable
