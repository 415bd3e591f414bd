"""Rows to a batch: which kind of test gives the scale."""

import datetime as dt
import math

import numpy as np
import pytest

from tests.builders import START, a_swim
from tracker.engine.series.comparable import comparable_series, jump_days
from tracker.engine.series.left_out import left_out_reason
from tracker.engine.series.rows import sorted_rows
from tracker.model.event import Event
from tracker.model.plausibility import doubts
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import DEFAULT


def test_of_two_equally_common_kinds_the_400_names_the_scale() -> None:
    """A swimmer of CSS pairs has as many 200s as 400s, alone or in a roster."""
    pairs, days = 6, np.repeat(np.arange(6) * 7, 2)
    names = np.array(["Ana"] * 2 * pairs, object)
    protocol = np.array(["200 m after the first", "400 m"] * pairs, object)
    course, suit = np.array(["SCM"] * 2 * pairs, object), np.array([""] * 2 * pairs, object)
    pace = np.where(protocol == "400 m", 100.0, 95.0)
    series = comparable_series(sorted_rows(names, days, pace, np.ones(days.size), (protocol, course, suit)))
    assert series.kinds[0] == "400 m SCM"
    assert series.design[0].tolist() == [0.0]


def test_of_events_between_two_tests_the_level_jumps_once() -> None:
    """Two lines about one break are one jump; before the first test and after the last there is none."""
    blank = np.array([""] * 3, object)
    rows = sorted_rows(
        np.array(["a"] * 3, object), np.array([100, 110, 130]), np.full(3, 90.0), np.ones(3), (blank,) * 3
    )
    jumps = comparable_series(rows, {"a": [131, 118, 115, 115, 110, 100, 90]}).jumps[0]
    np.testing.assert_allclose(jumps * DAYS_PER_MONTH, [10, 15])


@pytest.mark.parametrize(
    ("fields", "doubted", "why"),
    [
        ({}, False, None),
        ({"decision": "aside"}, False, "set aside by a person"),
        ({"decision": "aside", "kit": "fins"}, True, "set aside by a person"),
        ({"kit": "fins"}, False, "with kit"),
        ({"kit": "fins", "decision": "kept"}, False, "with kit"),
        ({}, True, "implausible, nobody decided"),
        ({"decision": "kept"}, True, None),
        ({"decision": "accepted"}, True, None),
    ],
)
def test_why_a_swim_is_left_out_by_the_first_reason_that_holds(fields, doubted: bool, why) -> None:
    swim = a_swim(0, 90.0 if doubted else 400.0, **fields)
    assert left_out_reason(swim, doubts(swim, [swim], DEFAULT)) == why


def test_months_read_back_as_their_days_and_a_level_is_a_logarithm() -> None:
    """A month is 365.25 / 12 = 30.4375 days; 100 s are -460.5 %, and 1 % faster is one more."""
    blank = np.array([""] * 2, object)
    rows = sorted_rows(
        np.array(["a"] * 2, object),
        np.array([1000, 1060]),
        np.array([100.0, 100.0 * math.exp(-0.01)]),
        np.ones(2),
        (blank,) * 3,
    )
    series = comparable_series(rows)
    assert series.days(0, series.months[0]).tolist() == pytest.approx([1000, 1060])
    assert series.day(0, 2.0) == 1060.875
    assert series.level[0].tolist() == pytest.approx([-460.517, -459.517], abs=1e-3)


def test_form_may_jump_on_the_last_day_of_a_break_that_had_begun() -> None:
    def an_event(kind, begins: int, ends: int | None = None) -> Event:
        day = [None if n is None else START + dt.timedelta(days=n) for n in (begins, ends)]
        return Event(from_date=day[0], to_date=day[1], swimmer="Ada", kind=kind)

    events = [an_event("layoff", 3, 9), an_event("layoff", 10), an_event("race", 4), an_event("layoff", 11)]
    until = START + dt.timedelta(days=10)
    zero = (START - dt.date(1970, 1, 1)).days
    assert jump_days(events, until) == {"Ada": [zero + 9, zero + 10]}
