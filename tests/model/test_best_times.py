"""Best times: what is compared, from when the season counts, how a new time stands."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from tests.builders import a_swim
from tracker.model.best_times import Raced, best_times, season_start, standing
from tracker.model.swim import Swim

TODAY = dt.date(2026, 6, 30)


def swum(day: str, time_s: float, **fields: Any) -> Swim:
    return a_swim(0, time_s, **fields).model_copy(update={"date": dt.date.fromisoformat(day)})


@pytest.mark.parametrize(
    ("day", "month", "begins"),
    [
        ("2026-06-30", 9, "2025-09-01"),
        ("2026-09-01", 9, "2026-09-01"),
        ("2026-08-31", 9, "2025-09-01"),
        ("2026-06-30", 1, "2026-01-01"),
    ],
)
def test_a_season_begins_with_its_month(day: str, month: int, begins: str) -> None:
    assert season_start(dt.date.fromisoformat(day), month) == dt.date.fromisoformat(begins)


def test_of_all_of_the_season_and_of_the_year() -> None:
    swims = [
        swum("2025-03-01", 390.0),
        swum("2025-08-01", 395.0),
        swum("2025-08-31", 394.0),
        swum("2026-02-01", 400.0),
        swum("2026-07-01", 380.0),
    ]
    (best,) = best_times(swims, as_of=TODAY, season_month=9)
    assert best.raced == Raced(400.0, "SCM", "none")
    assert (best.ever.time_s, best.swims) == (390.0, 4)
    assert best.season is not None
    assert best.season.time_s == 400.0
    assert best.year is not None
    assert best.year.time_s == 394.0


def test_nothing_swum_this_season_is_no_time() -> None:
    (best,) = best_times([swum("2024-03-01", 390.0)], as_of=TODAY, season_month=9)
    assert (best.season, best.year) == (None, None)


def test_pools_suits_and_distances_are_apart_and_repeats_and_kit_are_no_times() -> None:
    swims = [
        swum("2026-01-01", 400.0),
        swum("2026-01-02", 380.0, course="LCM"),
        swum("2026-01-03", 370.0, suit="wetsuit"),
        swum("2026-01-04", 190.0, distance_m=200.0),
        swum("2026-01-05", 300.0, kit="fins"),
        swum("2026-01-06", 80.0, test="reps", distance_m=100.0),
        swum("2026-01-07", 1800.0, test="t30", distance_m=1500.0),
    ]
    found = {best.raced: best.ever.time_s for best in best_times(swims, as_of=TODAY, season_month=9)}
    assert found == {
        Raced(200.0, "SCM", "none"): 190.0,
        Raced(400.0, "LCM", "none"): 380.0,
        Raced(400.0, "SCM", "none"): 400.0,
        Raced(400.0, "SCM", "wetsuit"): 370.0,
    }


def test_a_new_time_stands_among_those_of_earlier_days() -> None:
    earlier = [swum("2025-03-01", 390.0), swum("2025-08-01", 395.0), swum("2026-02-01", 400.0)]
    first = standing(swum("2025-01-01", 380.0), earlier)
    assert first is not None
    assert (first.earlier, first.best, first.is_best) == (0, None, False)
    best = standing(swum("2026-06-01", 389.9), earlier)
    assert best is not None
    assert best.is_best
    since = standing(swum("2026-06-01", 394.0), earlier)
    assert since is not None
    assert since.since == earlier[0]
    assert since.slower_since == 2
    equal = standing(swum("2026-06-01", 390.0), earlier)
    assert equal is not None
    assert not equal.is_best
    late = standing(swum("2025-05-01", 392.0), earlier)
    assert late is not None
    assert (late.earlier, late.since) == (1, earlier[0])
    assert standing(swum("2026-06-01", 80.0, test="reps"), earlier) is None
