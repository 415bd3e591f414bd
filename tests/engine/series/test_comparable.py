"""Rows to a batch: which kind of test gives the scale."""

import numpy as np

from tracker.engine.series.comparable import comparable_series
from tracker.engine.series.rows import sorted_rows
from tracker.model.units import DAYS_PER_MONTH


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
