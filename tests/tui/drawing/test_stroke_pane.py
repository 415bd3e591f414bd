from __future__ import annotations

import datetime as dt

import pytest

from tests.builders import a_swim
from tests.tui.drawing.pictures import FIRST, LAST, a_picture
from tracker.model.stroke import stroke_of_length
from tracker.tui.drawing.joint_chart import View, joint_chart
from tracker.tui.drawing.panes import stroke_series


def test_counts_are_averaged_and_rates_taken_as_logged():
    swims = [a_swim(0, strokes="18 20"), a_swim(7, rate_cpm=30.0), a_swim(14)]
    assert [value for _, value in stroke_series("stroke count", swims).values] == [19.0]
    assert [value for _, value in stroke_series("stroke rate", swims).values][1] == 30.0


def test_rate_and_length_from_a_count_are_those_of_the_calculator():
    swim = a_swim(0, 400.0, strokes="19")
    one = stroke_of_length(25.0, 19, 25.0)
    assert stroke_series("stroke rate", [swim]).values[0][1] == pytest.approx(one.rate_cpm)
    assert stroke_series("stroke length", [swim]).values[0][1] == pytest.approx(one.per_cycle_m)


def test_speed_is_rate_times_length():
    """Clean speed = (rate / 60) x metres per cycle: the definition of stroke length."""
    swim = a_swim(0, 400.0, rate_cpm=30.0)
    length = stroke_series("stroke length", [swim]).values[0][1]
    assert 30.0 / 60 * length == pytest.approx((25 - 5) / (25.0 - 2.5))


def test_nothing_is_made_up_where_nothing_was_counted():
    assert stroke_series("stroke length", [a_swim(0), a_swim(1, course="OW", strokes="20")]).values == ()


def test_the_pane_stands_between_the_pace_and_the_dates():
    swims = [a_swim((FIRST - dt.date(2025, 1, 6)).days + 7 * week, strokes="19") for week in range(40)]
    picture = a_picture(strokes=stroke_series("stroke count", swims))
    rows = joint_chart(picture, View(FIRST, LAST), 120, 30)
    lines = ["".join(run.text for run in row) for row in rows]
    pane = next(y for y, line in enumerate(lines) if line.startswith("stroke count"))
    axis = next(y for y, line in enumerate(lines) if line.lstrip().startswith("└"))
    assert axis == pane + 4
