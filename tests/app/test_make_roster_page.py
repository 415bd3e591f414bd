"""The summary as a file: of a group or all, of the month asked for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.builders import TODAY, a_session
from tracker.app.roster_page import make_roster_page
from tracker.errors import UsageError
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.database import Store

MONTH = dt.date(2026, 6, 1)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """Return two swimmers in two groups, one with tests."""
    store = Store.open(tmp_path / "club.db")
    with store.write(who="coach", what="make", at=dt.datetime(2026, 6, 30, tzinfo=dt.UTC)) as writer:
        writer.add(
            [Swimmer(swimmer="Ines Aalto", group="morning"), Swimmer(swimmer="Pia Lund", group="evening")]
        )
        days = [TODAY - dt.timedelta(days=7 * week) for week in reversed(range(20))]
        writer.add(
            [
                Swim(date=day, swimmer="Ines Aalto", test="t400", distance_m=400, time_s=405 - i / 2)
                for i, day in enumerate(days)
            ]
        )
    yield store
    store.close()


def test_the_whole_roster_or_a_group_is_a_file_of_its_own(store: Store, tmp_path: Path) -> None:
    out = tmp_path / "out"
    made = make_roster_page(a_session(store), MONTH, out=out, formats=("pdf", "txt"))
    assert [path.name for path in made.written] == ["roster-2026-06.pdf", "roster-2026-06.txt"]
    assert made.failed == ()
    text = made.written[1].read_text()
    assert "2 swimmers" in text
    assert "No look on record" in text
    group = make_roster_page(a_session(store), MONTH, out=out, group="evening", formats=("txt",))
    assert [path.name for path in group.written] == ["roster-evening-2026-06.txt"]
    assert "Ines Aalto" not in group.written[0].read_text()


def test_the_same_data_and_day_give_the_same_bytes(store: Store, tmp_path: Path) -> None:
    first = make_roster_page(a_session(store), MONTH, out=tmp_path / "a")
    again = make_roster_page(a_session(store), MONTH, out=tmp_path / "b")
    assert first.written[0].read_bytes() == again.written[0].read_bytes()


def test_a_month_ahead_or_an_empty_group_is_refused(store: Store, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="has not begun"):
        make_roster_page(a_session(store), dt.date(2026, 7, 1), out=tmp_path)
    with pytest.raises(UsageError, match="nobody"):
        make_roster_page(a_session(store), MONTH, out=tmp_path, group="noon")
