"""What a row of swims leaves out and its test says: the distance, or the time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tracker.records.swim_test import SwimTest
from tracker.records.units import distance_in_m


class SwimRows:
    """Completes the values of a row of swims.

    Parameters
    ----------
    names
        The fields in the order of the values.
    tests
        All test definitions by their short names.
    yards
        Whether the file's distances are yards.
    """

    def __init__(self, names: Sequence[str], tests: Mapping[str, SwimTest], *, yards: bool) -> None:
        self._test, self._course = names.index("test"), names.index("course")
        self._distance, self._time = names.index("distance_m"), names.index("time_s")
        self._tests = tests
        self._yards = yards

    def complete(self, values: list[Any]) -> list[Any]:
        """Return the values with distance and time.

        Raises
        ------
        ValueError
            If the row does not say one of them, and its test does not either.
        """
        if values[self._distance] is None:
            values[self._distance] = self._own_distance(values)
        elif self._yards:
            values[self._distance] = distance_in_m(values[self._distance], "SCY")
        if values[self._time] is None:
            test = self._tests.get(values[self._test])
            if test is None or test.duration_s is None:
                raise ValueError("time: is missing")
            values[self._time] = test.duration_s
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
