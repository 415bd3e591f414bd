"""What is named as a database: a path, or a server that we know."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tracker.errors import UsageError
from tracker.store import engine


def test_a_path_is_a_file(tmp_path: Path) -> None:
    assert engine.file_of(engine.address_of(tmp_path / "a b.db")) == tmp_path / "a b.db"


def test_postgresql_is_reached_by_the_driver_of_the_extra() -> None:
    assert engine.address_of("postgresql://host/club") == "postgresql+psycopg://host/club"
    assert engine.file_of("postgresql+psycopg://host/club") is None


@pytest.mark.parametrize("url", ["mysql://host/club", "foo://x", "://x", "postgresql+other://host/club"])
def test_a_server_that_we_do_not_know_is_refused(url: str) -> None:
    with pytest.raises(UsageError, match="give a path"):
        engine.address_of(url)


def test_without_the_driver_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "psycopg", None)
    with pytest.raises(UsageError, match=r"slackwater\[postgres\]"):
        engine.make_engine("postgresql+psycopg://host/club")
