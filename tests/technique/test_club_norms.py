"""The club's own distribution of a measure where no norm is published: who counts, and what is said."""

from __future__ import annotations

import datetime as dt
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.technique.build import day
from tracker.model.catalogue import measure, measures
from tracker.model.review import ReviewItem
from tracker.output.sentences.evidence import club_norm_line
from tracker.technique.club_norms import LEAST_SWIMMERS, club_norms, quantile
from tracker.technique.reviewing import own_errors

AS_OF = day("06-30")


def reading(who: int, value: float, date: str = "06-01", **more: Any) -> ReviewItem:
    fields = {"kind": "measure", "item": "kick-depth", "side": "left", "reviewer": "Maud", **more}
    return ReviewItem(date=day(date), swimmer=f"Swimmer {who}", value=value, **fields)


def club(values: list[float], **more: Any) -> list[ReviewItem]:
    return [reading(who, value, **more) for who, value in enumerate(values)]


def test_each_swimmer_counts_once_by_the_latest_reading_and_eight_are_needed() -> None:
    values = [30.0, 32, 34, 36, 38, 40, 42, 44]
    assert LEAST_SWIMMERS == 8
    assert club_norms(club(values[:7]), until=AS_OF) == {}
    items = [*club(values), reading(0, 90, "05-01"), reading(1, 99, "07-01")]
    norm = club_norms(items, until=AS_OF)["Maud", "kick-depth", "left"]
    assert (norm.swimmers, norm.median) == (8, 37.0)
    assert (norm.low, norm.high) == pytest.approx((31.4, 42.6))


def test_reviewers_sides_measures_and_scores_are_not_mixed() -> None:
    values = [float(value) for value in range(7)]
    assert club_norms([*club(values), reading(9, 5, reviewer="Bo")], until=AS_OF) == {}
    assert club_norms([*club(values), reading(9, 5, side="right")], until=AS_OF) == {}
    assert club_norms([*club(values), reading(9, 5, item="hand-depth")], until=AS_OF) == {}
    assert club_norms(club([3.0] * 9, kind="score", item="kick", side=""), until=AS_OF) == {}


@given(st.lists(st.floats(-100, 100), min_size=1, max_size=40), st.sampled_from([0.1, 0.5, 0.9]))
def test_a_quantile_is_that_of_numpy(values: list[float], share: float) -> None:
    """Hyndman & Fan 1996 (Am Stat 50:361), type 7, which numpy takes by default (from memory)."""
    assert quantile(values, share) == pytest.approx(float(np.quantile(values, share)), abs=1e-9)


def test_no_measure_with_a_published_norm_is_stood_beside() -> None:
    sources = {one.slug for one in measures() if one.has_published_norm}
    for slug in sources:
        assert club_norms(club([1.0] * 9, item=slug), until=AS_OF) == {}
    assert measure("kick-depth").slug not in sources


def test_it_is_said_as_the_club_s_own_with_the_reviewer_s_error_and_names_no_swimmer() -> None:
    items = club([30.0, 32, 34, 36, 38, 40, 42, 44])
    norm = club_norms(items, until=AS_OF)["Maud", "kick-depth", "left"]
    assert club_norm_line(norm, 44.0, None) == (
        "height of the kick, left: 44 cm beside this club's own 8 swimmers (no published norm; "
        "read by Maud): median 37, eight in ten between 31 and 43; own reading error not known."
    )
    twice = [
        reading(who, value + by, f"06-0{1 + by}", clip="c")
        for who, value in enumerate((30.0, 35.0, 41.0))
        for by in (0, 2)
    ]
    error = own_errors(twice)["Maud", "kick-depth"]
    said = club_norm_line(norm, 44.0, error)
    assert said.endswith("own reading error 0 cm (3 clips read twice).")
    assert "Swimmer" not in said


def test_what_is_read_later_is_not_known_yet() -> None:
    items = club([float(value) for value in range(9)], date="06-20")
    assert club_norms(items, until=day("06-19")) == {}
    assert list(club_norms(items, until=dt.date(2026, 6, 20)))
