"""No text of a mark covers another's."""

from __future__ import annotations

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from tracker.output.figures.drawing import text_mm
from tracker.output.figures.joint import LONGEST_CELLS, MOST_LANES, Mark, lanes

FIRST, LAST, WIDTH = dt.date(2025, 1, 1), dt.date(2025, 12, 31), 150.0
DAYS = st.integers(-30, 400).map(lambda day: FIRST + dt.timedelta(days=day))
MARKS = st.builds(Mark, DAYS, st.none() | DAYS, st.text("abc ", min_size=1, max_size=60))


@given(st.lists(MARKS, max_size=12))
def test_marks_of_one_lane_lie_apart(marks: list[Mark]) -> None:
    per_day = WIDTH / (LAST - FIRST).days
    spans: dict[int, list[tuple[float, float]]] = {}
    for mark, lane, to_left in lanes(marks, FIRST, LAST, WIDTH):
        assert lane < MOST_LANES
        assert len(mark.text) <= LONGEST_CELLS
        begins = max(0.0, (mark.begins - FIRST).days * per_day)
        ends = begins if mark.ends is None else min(WIDTH, (mark.ends - FIRST).days * per_day)
        words = text_mm(mark.text)
        low, high = (begins - words, ends) if to_left else (begins, ends + words)
        assert all(high < a or low > b for a, b in spans.get(lane, []))
        spans.setdefault(lane, []).append((low, high))


def test_what_lies_outside_is_left_out() -> None:
    before = Mark(dt.date(2024, 1, 1), None, "old")
    assert lanes([before], FIRST, LAST, WIDTH) == []
