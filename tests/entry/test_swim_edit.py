"""A corrected swim stays one that its test asks for: how near is near enough, by hand."""

from __future__ import annotations

import pytest

from tests.builders import a_swim
from tracker.entry.swim_edit import edited_swim
from tracker.errors import EntryError
from tracker.model.swim import Swim
from tracker.model.swim_test import SwimTest
from tracker.settings import DEFAULT

T400 = SwimTest(test="t400", name="400", kind="distances", distances="400")
T30 = SwimTest(test="t30", name="30 minutes", kind="duration", duration_s=1800.0)


def edited(old: Swim, definition: SwimTest | None, **form: str) -> Swim:
    return edited_swim(old, form, definition, limits=DEFAULT)


@pytest.mark.parametrize("metres", ["400.04", "399.96", "400"])
def test_a_distance_within_half_a_tenth_of_a_metre_is_what_the_test_asks_for(metres: str) -> None:
    """A yard is 0.9144 m: rounded to 0.1 m a distance is off by half a tenth at most."""
    assert edited(a_swim(), T400, distance=metres).distance_m == float(metres)


@pytest.mark.parametrize("metres", ["400.06", "399.94", "401", "396", "404"])
def test_a_distance_further_off_is_not(metres: str) -> None:
    with pytest.raises(EntryError, match="t400 is 400 m, and this is"):
        edited(a_swim(), T400, distance=metres)


@pytest.mark.parametrize("time", ["30:00", "29:59.6", "30:00.4"])
def test_a_time_within_half_a_second_is_what_the_test_asks_for(time: str) -> None:
    swim = a_swim(0, 1805.0, distance_m=1500.0, test="")
    assert edited(swim, T30, test="t30", time=time).test == "t30"


@pytest.mark.parametrize("time", ["29:59.4", "30:00.6", "30:04", "29:56"])
def test_a_time_further_off_is_not(time: str) -> None:
    swim = a_swim(0, 1805.0, distance_m=1500.0, test="")
    with pytest.raises(EntryError, match="t30 takes 30:00, and this took"):
        edited(swim, T30, test="t30", time=time)


def test_what_was_off_before_may_stay_so_while_something_else_is_corrected() -> None:
    odd = a_swim(distance_m=404.0)
    assert edited(odd, T400, note="a buoy had drifted").distance_m == 404.0
    with pytest.raises(EntryError):
        edited(odd, T400, course="LCM")
    slow = a_swim(0, 1810.0, distance_m=1500.0, test="t30")
    assert edited(slow, T30, note="late whistle").time_s == 1810.0
    with pytest.raises(EntryError):
        edited(slow, T30, time="30:09")


def test_from_metres_to_yards_and_back_the_distance_of_the_test_goes_along() -> None:
    """400 yd are 365.76 m, exact since 1959; one swum in metres of another number stays where it is."""
    yards = edited(a_swim(), T400, course="SCY")
    assert yards.distance_m == 365.76
    assert edited(yards.model_copy(update={"distance_m": 365.8}), T400, course="LCM").distance_m == 400.0
    assert edited(a_swim(), T400, course="LCM").distance_m == 400.0
    assert edited(a_swim(test=""), None, course="SCY").distance_m == 400.0


def test_a_distance_in_yards_is_read_in_the_course_that_is_typed_with_it() -> None:
    assert edited(a_swim(test=""), None, course="SCY", distance="500").distance_m == pytest.approx(457.2)
    assert edited(a_swim(test=""), None, course="LCM", distance="500").distance_m == 500.0


def test_every_problem_of_an_edit_is_found_at_once() -> None:
    with pytest.raises(EntryError) as caught:
        edited(a_swim(), T400, time="x", rate="fast", effort="11")
    assert {problem.field for problem in caught.value.problems} == {"time", "rate", "effort"}
