"""A typed test becomes its swims; distances follow the course's unit (yard: 0.9144 m, exact since 1959)."""

from __future__ import annotations

import datetime as dt

import pytest

from tracker.entry.swim_form import TypedTest, read_test_swims
from tracker.errors import EntryError
from tracker.model.swim import Swim
from tracker.model.swim_test import BUILT_IN, SwimTest
from tracker.model.swimmer import Swimmer
from tracker.settings import DEFAULT

TODAY = dt.date(2026, 3, 2)
INES = Swimmer(swimmer="Ines Aalto", born=1990)
TESTS = {definition.test: definition for definition in BUILT_IN}


def _swims(test: str | SwimTest, *times: str, course: str = "SCM", **form: str) -> tuple[Swim, ...]:
    definition = TESTS[test] if isinstance(test, str) else test
    typed = TypedTest(INES.swimmer, definition.test, times, form)
    return read_test_swims(typed, definition, INES, course=course, as_of=TODAY, limits=DEFAULT)


def _problems(test: str, *times: str, **form: str) -> list[tuple[str, str]]:
    with pytest.raises(EntryError) as caught:
        _swims(test, *times, **form)
    return [(problem.field, problem.reason) for problem in caught.value.problems]


def test_a_pair_is_two_swims_long_one_first() -> None:
    long, short = _swims("css", "6:40", "3:10", rest="480", strokes="18,19")
    assert [(s.distance_m, s.time_s, s.rest_s, s.strokes) for s in (long, short)] == [
        (400.0, 400.0, None, "18"),
        (200.0, 190.0, 480.0, "19"),
    ]
    assert {(s.test, s.date, s.start, s.course) for s in (long, short)} == {("css", TODAY, "push", "SCM")}


def test_yards_are_metres_in_the_record() -> None:
    assert [s.distance_m for s in _swims("css", "6:02", "2:52", course="SCY")] == pytest.approx(
        [365.76, 182.88]
    )
    assert _swims("t30", "1600", course="SCY")[0].distance_m == pytest.approx(1463.04)
    assert _swims("t30", "1480m", course="SCY")[0].distance_m == 1480


def test_thirty_minutes_take_a_distance() -> None:
    (swim,) = _swims("t30", "1480m")
    assert (swim.distance_m, swim.time_s) == (1480.0, 1800.0)
    assert _problems("t30", "1480k")[0][1].endswith("write it as 1480m")
    assert _problems("t30", "1480m", "2")[0][0] == "distance"


def test_repeats_take_their_number_distance_and_times() -> None:
    swims = _swims("reps", "3x100", "1:40", "1:41", "1:42.5", rest="20", strokes="18")
    assert [(s.distance_m, s.time_s, s.rest_s, s.strokes) for s in swims] == [
        (100.0, 100.0, None, "18"),
        (100.0, 101.0, 20.0, "18"),
        (100.0, 102.5, 20.0, "18"),
    ]
    assert _problems("reps", "3x100", "1:40")[0] == ("time", "3x100 takes 3 times; 1 given")
    assert "write it as 10x100" in _problems("reps", "100", "1:40")[0][1]
    assert [swim.time_s for swim in _swims("reps", "1x100", "1:40", rest="20")] == [100.0]
    assert "write it as 10x100" in _problems("reps", "0x100", "1:40")[0][1]


def test_counts_are_one_for_all_one_each_or_one_a_length() -> None:
    by_length = ",".join(["18"] * 16 + ["19"] * 8)
    long, short = _swims("css", "6:40", "3:10", strokes=by_length)
    assert (long.strokes, short.strokes) == (" ".join(["18"] * 16), " ".join(["19"] * 8))
    assert {s.strokes for s in _swims("css", "6:40", "3:10", strokes="18")} == {"18"}
    assert _swims("t400", "6:40", strokes="18,18,19")[0].strokes == "18 18 19"
    assert _problems("css", "6:40", "3:10", strokes="18,19,20")[0] == (
        "strokes",
        "3 counts for 2 swims; give one, one a swim, or one a length",
    )


def test_everything_wrong_is_said_at_once() -> None:
    found = _problems(
        "css",
        "6:75",
        "1:2:3:4",
        date="2026-13-01",
        course="XCM",
        rate="64",
        effort="11",
        strokes="0",
        rest="-1",
    )
    assert {name for name, _ in found} == {"time", "date", "course", "rate", "effort", "strokes", "rest"}
    assert [name for name, _ in found].count("time") == 2


def test_the_number_of_times_is_said_with_their_order() -> None:
    assert _problems("css", "6:40") == [("time", "css takes 2 times (400 m, then 200 m); 1 given")]


@pytest.mark.parametrize(
    ("day", "reason"), [("2026-03-04", "has not come yet"), ("1989-01-01", "before the year of birth, 1990")]
)
def test_tests_are_swum_between_birth_and_tomorrow(day: str, reason: str) -> None:
    (problem,) = _problems("t400", "6:40", date=day)
    assert problem[0] == "date"
    assert reason in problem[1]
    assert _swims("t400", "6:40", date="2026-03-03")[0].date == dt.date(2026, 3, 3)


def test_own_tests_are_swum_like_built_in_ones() -> None:
    lake = SwimTest(test="lake-750", distances="750", start="push")
    (swim,) = _swims(lake, "12:30", course="OW", suit="wetsuit")
    assert (swim.test, swim.distance_m, swim.course, swim.suit) == ("lake-750", 750.0, "OW", "wetsuit")


def test_a_time_that_is_nothing_to_the_hundredth_is_none() -> None:
    assert _problems("t400", "0.004") == [("time", "'0.00' is not a time between 0 and 100 hours")]
    assert _swims("t400", "0.006")[0].time_s == 0.01
    with pytest.raises(ValueError, match="between 0 and 100 hours"):
        Swim(date=TODAY, swimmer="Ines Aalto", test="t400", distance_m=400, time_s=359_999.997)
