"""What is named as a database: a path, or a server that we know."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tracker.errors import UsageError
from tracker.store import engine
from tracker.store.checking import check_file
from tracker.store.checksums import digest_beside
from tracker.store.database import Store


@pytest.mark.parametrize(
    "name", ["a b.db", "what?.db", "a?b=c&d#.db", "50%.db", "%41.db", "file:a.db", "ü'\"\n.db"]
)
def test_a_path_is_that_very_file(tmp_path: Path, name: str) -> None:
    file = tmp_path / name
    assert engine.file_of(engine.address_of(file)) == file
    Store.open(file).close()
    assert sorted(tmp_path.iterdir()) == sorted([file, digest_beside(file)])
    assert check_file(file, full=True) == []


def test_postgresql_is_reached_by_the_driver_of_the_extra() -> None:
    address = engine.address_of("postgresql://host/club")
    assert str(address) == "postgresql+psycopg://host/club"
    assert engine.file_of(address) is None


@pytest.mark.parametrize("url", ["mysql://host/club", "foo://x", "://x", "postgresql+other://host/club"])
def test_a_server_that_we_do_not_know_is_refused(url: str) -> None:
    with pytest.raises(UsageError, match="give a path"):
        engine.address_of(url)


def test_without_the_driver_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "psycopg", None)
    with pytest.raises(UsageError, match=r"slackwater\[postgres\]"):
        engine.make_engine(engine.address_of("postgresql+psycopg://host/club"))
