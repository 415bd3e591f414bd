"""What a row of swims leaves out: the course, and the distance or the time that its test says."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from tracker.records.swim_test import SwimTest
from tracker.records.units import distance_in_m
from tracker.settings import DEFAULT

CourseOf = Callable[[str, dt.date, str, float | None], str]
"""Gives the course of a swim that names none, by swimmer, date, test and seconds."""


def configured_course(_swimmer: str, _date: dt.date, _test: str, _time_s: float | None) -> str:
    """Return the course of the settings as they come, whoever swam."""
    return DEFAULT.course


class SwimRows:
    """Completes the values of a row of swims.

    Parameters
    ----------
    names
        The fields in the order of the values.
    tests
        All test definitions by their short names.
    course_of
        Gives the course of a swim that names none.
    yards
        Whether the file's distances are yards.

    Attributes
    ----------
    unnamed
        Course -> rows that named none and were taken as of it.
    """

    def __init__(
        self, names: Sequence[str], tests: Mapping[str, SwimTest], course_of: CourseOf, *, yards: bool
    ) -> None:
        self._test, self._course = names.index("test"), names.index("course")
        self._distance, self._time = names.index("distance_m"), names.index("time_s")
        self._swimmer, self._date = names.index("swimmer"), names.index("date")
        self._tests = tests
        self._course_of = course_of
        self._yards = yards
        self.unnamed: Counter[str] = Counter()

    def complete(self, values: list[Any]) -> list[Any]:
        """Return the values with course, distance and time.

        Raises
        ------
        ValueError
            If the row does not say one of them, and its test does not either.
        """
        test = self._tests.get(values[self._test])
        time = values[self._time] if values[self._time] is not None or test is None else test.duration_s
        unnamed = values[self._course] is None
        if unnamed:
            values[self._course] = self._course_of(
                values[self._swimmer], values[self._date], values[self._test], time
            )
        if values[self._distance] is None:
            values[self._distance] = self._own_distance(values)
        elif self._yards:
            values[self._distance] = distance_in_m(values[self._distance], "SCY")
        if time is None:
            raise ValueError("time: is missing")
        values[self._time] = time
        if unnamed:
            self.unnamed[values[self._course]] += 1
        return values

    def _own_distance(self, values: list[Any]) -> float:
        name = values[self._test]
        test = self._tests.get(name)
        if test is None and name:
            raise ValueError(
                f"distance_m: is missing, and no test is called {name!r} ('slackwater test list' names them)"
            )
        if test is None or test.kind != "distances" or len(test.distances.split()) != 1:
            raise ValueError("distance_m: is missing, and the test does not say it")
        return distance_in_m(float(test.distances), values[self._course])
