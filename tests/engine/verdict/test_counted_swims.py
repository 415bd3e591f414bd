"""Which swims count, by hand: left out, set aside by the line, and a set of repeats as one test."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from tests.builders import START, a_swim
from tests.technique.build import a_verdict
from tracker.engine.verdict.counted_swims import counted_swims, swim_statuses
from tracker.engine.verdict.verdict import SetAside
from tracker.settings import DEFAULT

WEEK = START + dt.timedelta(days=7)


def test_the_swim_that_the_line_set_aside_is_found_by_its_day_and_its_pace() -> None:
    aside = SetAside(WEEK, 5.2, 110.0)
    swims = [a_swim(0, 440.0), a_swim(7, 440.0), a_swim(7, 440.4), a_swim(14, 400.0)]
    found = swim_statuses(swims, replace(a_verdict(), set_aside=(aside,)), DEFAULT)
    assert [one.set_aside for one in found] == [None, aside, None, None]
    assert [one.counts for one in found] == [True, False, True, True]


def test_a_pace_that_went_through_a_logarithm_and_back_is_the_same() -> None:
    aside = SetAside(WEEK, 5.2, 110.0 * (1 + 1e-12))
    (found,) = swim_statuses([a_swim(7, 440.0)], replace(a_verdict(), set_aside=(aside,)), DEFAULT)
    assert found.set_aside == aside


def test_repeats_are_set_aside_together_by_the_mean_of_those_that_count() -> None:
    """90, 92 and 100 s are 94 s a hundred; one with kit is not of the test."""
    swims = [
        a_swim(7, time, test="reps", distance_m=100.0, set_id=name, kit=kit)
        for time, name, kit in [
            (90.0, "a", ""),
            (92.0, "a", ""),
            (100.0, "a", ""),
            (80.0, "a", "fins"),
            (94.0, "b", ""),
            (98.0, "b", ""),
        ]
    ]
    aside = SetAside(WEEK, 5.2, 94.0)
    found = swim_statuses(swims, replace(a_verdict(), set_aside=(aside,)), DEFAULT)
    assert [one.set_aside for one in found] == [aside, aside, aside, None, None, None]
    assert [one.left_out for one in found] == [None, None, None, "with kit", None, None]
    assert counted_swims(swims, None, DEFAULT) == [*swims[:3], *swims[4:]]
