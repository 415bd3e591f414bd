"""A kill in the middle of a backup or a restore leaves a whole copy: it is known, swept and erased."""

from __future__ import annotations

import datetime as dt
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.builders import a_session
from tracker.app.check import check_store
from tracker.app.copies import back_up, restore
from tracker.app.erase_swimmer import Folders, erase_swimmer, preview_erasure
from tracker.errors import BusyError
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.copies import copy_file, partial_path, staging_path
from tracker.store.database import Store

pytestmark = pytest.mark.file_only(reason="a server is copied by its own tools")

ANA = "Ana Prova"
DAY = dt.date(2026, 5, 4)


@pytest.fixture
def club(store: Store, now: dt.datetime) -> Path:
    """A record so large that a copy of it takes a while."""
    with store.write(who="c", what="fill", at=now) as writer:
        writer.add([Swimmer(swimmer=ANA), Swimmer(swimmer="Bo Prova")])
        row = tuple(
            getattr(Swim(date=DAY, swimmer=ANA, distance_m=400, time_s=400), f) for f in Swim.model_fields
        )
        writer.add_rows(Swim, [row] * 8_000, 8_000)
    store.close()
    assert store.file is not None
    return store.file


@contextmanager
def stopped(file: Path, words: list[str], at: Path) -> Iterator[subprocess.Popen[bytes]]:
    """Run a command and stop it while the copy lies at a path, whole or nearly."""
    command = [sys.executable, "-m", "tracker", "--db", str(file), *words]
    whole = file.stat().st_size // 2
    day = {**os.environ, "SLACKWATER_TODAY": "2026-06-30"}
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=day)
    try:
        until = time.monotonic() + 60
        while not (at.exists() and at.stat().st_size > whole):
            assert process.poll() is None, "it ended before it could be stopped"
            assert time.monotonic() < until
        process.send_signal(signal.SIGSTOP)
        os.waitpid(process.pid, os.WUNTRACED)
        assert at.exists()
        yield process
    finally:
        process.kill()
        process.wait()


def kill_midway(file: Path, words: list[str], at: Path) -> None:
    with stopped(file, words, at) as process:
        process.kill()
    assert ANA.encode() in at.read_bytes()


def remains(*folders: Path) -> list[str]:
    """Return the names of files with Ana in them, beside the record itself."""
    files = [path for folder in folders for path in sorted(folder.iterdir()) if path.is_file()]
    return [path.name for path in files if ANA.encode() in path.read_bytes()]


def erased(store: Store, tmp_path: Path, now: dt.datetime) -> tuple[list[Path], list[str]]:
    """Erase Ana; return the files that went, as they were told before too, and the copies named."""
    folders = Folders((), tmp_path / "pages")
    asked = preview_erasure(a_session(store), ANA, folders=folders)
    done = erase_swimmer(a_session(store, today=DAY, now=now), ANA, folders=folders)
    assert (asked.files, asked.copies) == (done.files, done.copies)
    return list(done.files), [copy.made.place for copy in done.copies]


@pytest.mark.thorough
def test_a_killed_backup_is_erased_with_whom_it_holds(
    store: Store, club: Path, tmp_path: Path, now: dt.datetime
) -> None:
    copies = tmp_path / "copies"
    copies.mkdir()
    part = partial_path(copies / "c.db")
    kill_midway(club, ["backup", str(copies / "c.db")], part)
    assert check_store(club).last_backup is None
    assert erased(store, tmp_path, now) == ([part], [])
    assert remains(copies, club.parent) == []


@pytest.mark.parametrize("stage", [True, pytest.param(False, marks=pytest.mark.thorough)])
def test_a_killed_restore_is_erased_with_whom_it_holds(
    store: Store, club: Path, tmp_path: Path, now: dt.datetime, *, stage: bool
) -> None:
    back_up(a_session(store, now=now), tmp_path / "c.db")
    store.close()
    left = staging_path(club) if stage else partial_path(staging_path(club))
    kill_midway(club, ["restore", str(tmp_path / "c.db"), "--yes"], left)
    gone, named = erased(store, tmp_path, now)
    assert left in gone
    assert named == [str(tmp_path / "c.db")]
    assert remains(club.parent) == []


@pytest.mark.parametrize("then", ["restore", pytest.param("backup", marks=pytest.mark.thorough)])
def test_what_a_kill_left_is_swept_by_the_next_backup_or_restore(
    store: Store, club: Path, tmp_path: Path, now: dt.datetime, then: str
) -> None:
    copies = tmp_path / "copies"
    copies.mkdir()
    copy_file(club, tmp_path / "c.db")
    kill_midway(club, ["backup", str(copies) + "/"], _dated(copies, now))
    kill_midway(club, ["restore", str(tmp_path / "c.db"), "--yes"], partial_path(staging_path(club)))
    if then == "backup":
        back_up(a_session(store, now=now), tmp_path / "d.db")
    else:
        restore(club, tmp_path / "c.db", at=now)
    assert remains(copies) == []
    assert [name for name in remains(club.parent) if name.startswith(".")] == []


def _dated(copies: Path, now: dt.datetime) -> Path:
    from tracker.store.copies import dated_name

    return partial_path(copies / dated_name(now))


@pytest.mark.thorough
def test_a_copy_that_is_being_made_is_named_and_left_alone(
    store: Store, club: Path, tmp_path: Path, now: dt.datetime
) -> None:
    copies = tmp_path / "copies"
    copies.mkdir()
    part = partial_path(copies / "c.db")
    with stopped(club, ["backup", str(copies / "c.db")], part):
        with pytest.raises(BusyError, match="another process is making"):
            back_up(a_session(store, now=now), copies / "c.db")
        back_up(a_session(store, now=now), tmp_path / "d.db")
        assert part.exists()
        asked = preview_erasure(a_session(store), ANA, folders=Folders((), tmp_path / "pages"))
        assert str(part) in [copy.made.place for copy in asked.copies]
        assert part not in asked.files


def test_a_copy_knows_of_itself(store: Store, club: Path, tmp_path: Path, now: dt.datetime) -> None:
    """It is on the record before it is made, so a restored one does not forget it; nor tell of it twice."""
    made = back_up(a_session(store, now=now), tmp_path / "c.db")
    assert made.noted
    store.close()
    restore(club, tmp_path / "c.db", at=now)
    with store.read() as reader:
        (only,) = reader.copies_made()
    assert (only.place, only.kind, only.finished) == (str(tmp_path / "c.db"), "backup", True)
    club.unlink()
    restore(club, tmp_path / "c.db", at=now)
    with Store.open(club).read() as reader:
        assert [one.place for one in reader.copies_made()] == [str(tmp_path / "c.db")]


def test_a_backup_that_fails_is_not_on_the_record(
    store: Store, club: Path, tmp_path: Path, now: dt.datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert club.exists()
    monkeypatch.setattr("tracker.store.copies.verified", lambda _part: ({}, "other"))
    with pytest.raises(Exception, match="differs"):
        back_up(a_session(store, now=now), tmp_path / "c.db")
    with store.read() as reader:
        assert reader.copies_made() == []
