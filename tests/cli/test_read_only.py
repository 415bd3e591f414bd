"""A sound record on a full or read-only disk is read all the same; what would change it is one clear line.

The disks are real ones in memory, which only somebody who may mount can make. Where nobody may, what
SQLite itself then meets is put in its way: where the index of its log would go, nothing can be opened.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from pathlib import Path

import pytest

from tests.cli.conftest import Cli, Ran
from tracker.errors import BusyError
from tracker.store.database import Store

INES = "Ines Aalto"
READING = [
    ["swimmer", "list"],
    ["scan"],
    ["why", INES],
    ["swims", INES],
    ["history"],
    ["check"],
    ["page", INES, "--month", "2026-05", "--out", "pages"],
    ["export", "out"],
    ["swimmer", "export", INES, "hers"],
    ["backup", "copy.db"],
    ["swimmer", "erase", INES, "--dry-run"],
]
WRITING = [
    ["log", INES, "t400", "6:39", "--date", "2026-06-01"],
    ["swimmer", "add", "Bo Lind"],
    ["swimmer", "erase", INES, "--yes"],
    ["undo"],
    ["restore", "copy.db", "--yes"],
]


def mounted(*words: str) -> None:
    try:
        made = subprocess.run(["mount", *words], capture_output=True, check=False)
    except FileNotFoundError:
        pytest.skip("there is no mount here")
    if made.returncode:
        pytest.skip("nobody may mount a disk here")


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of three megabytes."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted("-t", "tmpfs", "-o", "size=3m,mode=0700", "tmpfs", str(folder))
    yield folder
    subprocess.run(["umount", str(folder)], check=True)


@contextmanager
def seen_read_only(folder: Path) -> Iterator[Path]:
    place = folder.with_name("seen")
    place.mkdir()
    mounted("--bind", str(folder), str(place))
    try:
        subprocess.run(["mount", "-o", "remount,ro,bind", str(place)], check=True)
        yield place
    finally:
        subprocess.run(["umount", str(place)], check=True)


def fill(folder: Path) -> None:
    with (folder / "ballast").open("wb", buffering=0) as stream, suppress(OSError):
        while stream.write(bytes(4096)):
            pass
    room = os.statvfs(folder)
    assert room.f_bavail == 0


def obstruct(file: Path) -> None:
    Path(f"{file}-shm").symlink_to("nowhere/at-all")


def a_record(cli: Cli, file: Path) -> Path:
    assert cli("--db", str(file), "swimmer", "add", INES, "--group", "Masters").code == 0
    rows = "".join(f"2026-0{month}-05,{INES},400,6:4{month}\n" for month in range(1, 6))
    Path("swims.csv").write_text("date,swimmer,distance_m,time\n" + rows)
    assert cli("--db", str(file), "import", "swims.csv").code == 0
    return file


def check_commands(cli: Cli, file: Path, why: str) -> None:
    def run(*words: str) -> Ran:
        return cli("--db", str(file), *words)

    before = file.read_bytes()
    for words in READING:
        ran = run(*words)
        assert (ran.code, bool(ran.out)) == (0, True), (words, ran)
        assert ran.err.count(f"the record {file} is read-only: {why}; ") == 1, (words, ran.err)
        assert ("could not note this copy" in ran.err) == (
            words[0] in {"backup", "export"} or "hers" in words
        )
    for words in WRITING:
        ran = run(*words)
        assert (ran.code, ran.out, ran.err.count("\n")) == (1, "", 1), (words, ran)
        assert f"{file} cannot be written: {why}; nothing was changed; " in ran.err, words
    assert file.read_bytes() == before
    assert cli("--db", "copy.db", "swims", INES).out.count("2026-0") == 5
    assert run("swims", INES).out.count("2026-0") == 5
    assert run("check", "--json").json["found"] == []


def test_a_full_disk(cli: Cli, disk: Path) -> None:
    file = a_record(cli, disk / "c.db")
    fill(disk)
    check_commands(cli, file, "its disk is full")
    (disk / "ballast").unlink()
    ran = cli("--db", str(file), "swimmer", "add", "Bo Lind")
    assert (ran.code, ran.err) == (0, "")
    assert cli("--db", str(file), "check").err == ""


@pytest.mark.thorough
def test_a_home_that_is_full_with_all_that_is_in_it(cli: Cli, disk: Path, monkeypatch) -> None:
    """The record in its own place, and folders of cache, state and temporary files on the same disk."""
    monkeypatch.setenv("HOME", str(disk))
    monkeypatch.setenv("TMPDIR", str(disk))
    file = disk / ".local/share/slackwater/slackwater.db"
    a_record(cli, file)
    fill(disk)
    check_commands(cli, file, "its disk is full")


def test_a_read_only_disk(cli: Cli, disk: Path) -> None:
    a_record(cli, disk / "c.db")
    with seen_read_only(disk) as place:
        check_commands(cli, place / "c.db", "its disk is read-only")


def test_a_folder_in_which_sqlite_cannot_write(cli: Cli, tmp_path: Path) -> None:
    file = a_record(cli, tmp_path / "data" / "c.db")
    obstruct(file)
    check_commands(cli, file, "you may not write in its folder")


@pytest.mark.parametrize("what", ["file", "folder"])
def test_what_the_permissions_forbid(cli: Cli, tmp_path: Path, monkeypatch, what: str) -> None:
    """Root may write all the same, so the system's answer is put in its place."""
    file = a_record(cli, tmp_path / "data" / "c.db")
    hidden = file if what == "file" else file.parent
    monkeypatch.setattr("tracker.store.opening.os.access", lambda path, _mode: Path(path) != hidden)
    why = "you may not write it" if what == "file" else "you may not write in its folder"
    check_commands(cli, file, why)


def left_open(cli: Cli, place: Path, change: Callable[[sqlite3.Connection], None]) -> Path:
    """Return a copy of a record and of what lies beside it, taken while somebody has it open."""
    file = a_record(cli, place / "data" / "c.db")
    copy = place / "left" / "c.db"
    copy.parent.mkdir()
    with closing(sqlite3.connect(file, isolation_level=None)) as connection:
        change(connection)
        for ending in ("", "-wal", "-journal"):
            if Path(f"{file}{ending}").exists():
                shutil.copy(f"{file}{ending}", f"{copy}{ending}")
    return copy


def renamed(connection: sqlite3.Connection) -> None:
    connection.execute("UPDATE swimmer SET \"group\" = 'Juniors'")


def test_what_lies_in_the_log_only_is_read_too(cli: Cli, tmp_path: Path) -> None:
    """What is read without it is stale."""
    file = left_open(cli, tmp_path, renamed)
    log = Path(f"{file}-wal").read_bytes()
    assert log
    assert b"Juniors" not in file.read_bytes()
    obstruct(file)
    ran = cli("--db", str(file), "swimmer", "list")
    assert (ran.code, f"{INES}\tJuniors" in ran.out, "read-only" in ran.err) == (0, True, True)
    assert cli("--db", str(file), "backup", "copy.db").code == 0
    assert "Juniors" in cli("--db", "copy.db", "swimmer", "list").out
    assert cli("--db", str(file), "log", INES, "t400", "6:39").code == 1
    assert Path(f"{file}-wal").read_bytes() == log


def test_the_log_is_read_on_a_read_only_disk(cli: Cli, disk: Path) -> None:
    file = left_open(cli, disk, renamed)
    with seen_read_only(disk) as place:
        ran = cli("--db", str(place / "left" / file.name), "swimmer", "list")
        assert (ran.code, f"{INES}\tJuniors" in ran.out) == (0, True), ran.err


def test_half_a_change_is_not_read_as_if_it_were_whole(cli: Cli, tmp_path: Path, monkeypatch) -> None:
    def half(connection: sqlite3.Connection) -> None:
        connection.execute("PRAGMA journal_mode = DELETE")
        connection.execute("PRAGMA cache_size = 1")
        connection.execute("BEGIN")
        for table in ("swim", "swimmer", "history_entry", "state"):
            connection.execute(f"UPDATE {table} SET version = 9")  # noqa: S608 - own names

    file = left_open(cli, tmp_path, half)
    assert Path(f"{file}-journal").stat().st_size
    monkeypatch.setattr("tracker.store.opening.os.access", lambda path, _mode: Path(path) != file.parent)
    for words in (["swims", INES], ["check"], ["backup", "copy.db"]):
        ran = cli("--db", str(file), *words)
        assert (ran.code, ran.out, ran.err.count("\n")) == (1, "", 1)
        assert "holds half a change" in ran.err
        assert "damaged" not in ran.err
    monkeypatch.undo()
    assert cli("--db", str(file), "check").code == 0


def test_a_file_that_changes_while_it_is_read_without_locks_is_not_told_as_one_moment(
    cli: Cli, tmp_path: Path
) -> None:
    file = a_record(cli, tmp_path / "data" / "c.db")
    obstruct(file)
    store = Store.open(file)
    with ExitStack() as stack:
        reader = stack.enter_context(store.read())
        assert reader.labels() == [INES]
        file.write_bytes(file.read_bytes())
        with pytest.raises(BusyError, match="was changed by another process"):
            stack.pop_all().close()
    store.close()


def test_a_damaged_file_is_still_called_damaged(cli: Cli, tmp_path: Path) -> None:
    file = a_record(cli, tmp_path / "data" / "c.db")
    raw = bytearray(file.read_bytes())
    raw[4096:8192] = b"\xff" * 4096
    file.write_bytes(raw)
    obstruct(file)
    ran = cli("--db", str(file), "check")
    assert ran.code == 1
    assert "malformed" in ran.out or "Page" in ran.out or "Tree" in ran.out
    assert "restore a backup" in ran.err
