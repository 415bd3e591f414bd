"""A store in a fresh folder."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from tracker.store.database import Store

NOW = dt.datetime(2026, 6, 30, 12, 0, tzinfo=dt.UTC)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store.open(tmp_path / "data" / "slackwater.db")
    yield opened
    opened.close()


@pytest.fixture
def now() -> dt.datetime:
    return NOW
