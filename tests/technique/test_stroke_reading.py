"""Stroke rate and length as a second witness."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from tests.technique.build import SWIMMER, a_stretch, day
from tracker.model.swim import Swim
from tracker.technique.stroke_reading import StrokeSample, Witness, read_strokes, stroked

STRETCH = a_stretch("03-01", end="06-28")
KEPT = ("t400", "SCM", "none")


def rising(percent: float, *, by: str = "rate", noise: float = 0.5, count: int = 17) -> list[StrokeSample]:
    """Return weekly swims whose rate (or count) rises by `percent` over the stretch."""
    rng = np.random.default_rng(1)
    values = 30.0 * np.exp((np.linspace(0, percent, count) + rng.normal(0, noise, count)) / 100)
    return [
        StrokeSample(
            day("03-01") + dt.timedelta(days=7 * n),
            KEPT,
            float(value) if by == "rate" else None,
            float(value) if by == "strokes" else None,
        )
        for n, value in enumerate(values)
    ]


@pytest.mark.parametrize(
    ("percent", "by", "witness"),
    [
        (6.0, "rate", "effort rising"),
        (6.0, "strokes", "effort rising"),
        (-6.0, "rate", "strokes longer"),
        (-6.0, "strokes", "strokes longer"),
        (0.0, "rate", "both flat"),
    ],
)
def test_pace_flat_and_rate_moving_is_read_as_coaches_read_it(
    percent: float, by: str, witness: Witness
) -> None:
    found = read_strokes(STRETCH, rising(percent, by=by))
    assert (found.witness, found.by, found.swims) == (witness, by, 17)
    assert found.change == pytest.approx(percent, abs=1.5)


def test_counts_too_scattered_to_tell_are_not_clear() -> None:
    assert read_strokes(STRETCH, rising(1.0, noise=12.0)).witness == "not clear"


def test_a_small_rise_is_named_neither_way() -> None:
    """1.5 % is less than rates, lengths and speeds agree within."""
    assert read_strokes(STRETCH, rising(1.5, noise=0.1)).witness == "both flat"


def test_the_change_is_the_least_squares_one() -> None:
    swims = rising(4.0)
    months = np.array([s.date.toordinal() for s in swims]) / 30.4375
    slope = np.polyfit(months, [100 * np.log(s.rate_cpm) for s in swims if s.rate_cpm], 1)[0]
    length = (STRETCH.end - STRETCH.start).days / 30.4375
    assert read_strokes(STRETCH, swims).change == pytest.approx(slope * length)


def test_only_the_commonest_conditions_within_the_stretch_are_read() -> None:
    swims = rising(0.0)
    other = [s._replace(conditions=("t400", "LCM", "none"), rate_cpm=40.0) for s in swims[-4:]]
    early = [s._replace(date=s.date - dt.timedelta(days=200), rate_cpm=20.0) for s in swims[:5]]
    assert read_strokes(STRETCH, [*early, *swims, *other]) == read_strokes(STRETCH, swims)


def test_five_swims_are_too_few() -> None:
    assert read_strokes(STRETCH, rising(6.0, count=5)).witness == "too few"
    assert read_strokes(STRETCH, []).witness == "too few"


def test_several_counts_of_a_swim_are_averaged() -> None:
    swim = Swim(
        date=day("03-01"),
        swimmer=SWIMMER,
        test="t400",
        distance_m=400,
        time_s=400,
        strokes="18 19 20",
        rate_cpm=31,
    )
    assert stroked(swim) == StrokeSample(day("03-01"), KEPT, 31.0, 19.0)


def test_a_swim_too_easy_for_a_test_is_comparable_with_those_of_its_pace_alone() -> None:
    """Strokes at a held pace say something; beside a maximal test, or at another pace, they do not."""
    swim = Swim(date=day("03-01"), swimmer=SWIMMER, test="t400", distance_m=400, time_s=440, strokes="17")
    kinds = [
        stroked(swim.model_copy(update=update)).conditions
        for update in (
            {"effort": 6},
            {"effort": 5, "time_s": 442.0},
            {"effort": 6, "time_s": 460.0},
            {"effort": 9},
            {"effort": None},
        )
    ]
    assert kinds[0] == kinds[1] != kinds[2]
    assert kinds[3] == kinds[4] == KEPT
    assert kinds[3] not in kinds[:3]


def test_a_swim_without_counts_has_no_mean() -> None:
    swim = Swim(date=day("03-01"), swimmer=SWIMMER, test="t400", distance_m=400, time_s=400)
    assert stroked(swim) == StrokeSample(day("03-01"), KEPT, None, None)
