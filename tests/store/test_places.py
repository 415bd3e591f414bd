from __future__ import annotations

from pathlib import Path

import pytest

from tracker.store.database import Store
from tracker.store.failures import is_on_network

MOUNTS = """\
22 1 0:20 / / rw,relatime shared:1 - overlay overlay rw
30 22 0:30 / {root}/share rw,relatime - {kind} server:/club rw
31 30 0:31 / {root}/share/local rw,relatime - ext4 /dev/sda1 rw
broken line
"""


def mounts(tmp_path: Path, kind: str) -> Path:
    (tmp_path / "share" / "local").mkdir(parents=True, exist_ok=True)
    table = tmp_path / "mountinfo"
    table.write_text(MOUNTS.format(root=tmp_path, kind=kind))
    return table


@pytest.mark.parametrize("kind", ["nfs", "nfs4", "cifs", "smb3", "9p", "fuse.sshfs"])
def test_a_share_is_recognised_by_the_mount_that_holds_the_file(tmp_path: Path, kind: str) -> None:
    table = mounts(tmp_path, kind)
    assert is_on_network(tmp_path / "share" / "club.db", table)
    assert not is_on_network(tmp_path / "share" / "local" / "club.db", table)
    assert not is_on_network(tmp_path / "club.db", table)
    assert not is_on_network(tmp_path / "sharecropper.db", table)


def test_a_local_disk_and_an_unknown_system_are_no_share(tmp_path: Path) -> None:
    assert not is_on_network(tmp_path / "share" / "club.db", mounts(tmp_path, "ext4"))
    assert not is_on_network(tmp_path / "club.db", tmp_path / "no such table")


@pytest.mark.file_only(reason="where a file lies")
def test_no_write_ahead_log_is_used_on_a_share_and_a_remark_says_why(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tracker.store.sqlite.is_on_network", lambda _file: True)
    monkeypatch.setattr("tracker.store.database.is_on_network", lambda _file: True)
    store = Store.open(tmp_path / "club.db")
    with store.read() as reader:
        assert reader.connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "truncate"
    assert "network share" in str(store.remarks[0])
    assert not (tmp_path / "club.db-wal").exists()
    store.close()
