from __future__ import annotations

import datetime as dt
import itertools

from hypothesis import given
from hypothesis import strategies as st

from tracker.tui.drawing.scales import DateScale, PaceScale

days = st.dates(dt.date(2000, 1, 1), dt.date(2030, 1, 1))


@given(days, st.integers(0, 4000), st.integers(1, 230))
def test_every_date_inside_has_a_column_inside(first, length, columns):
    last = first + dt.timedelta(days=length)
    scale = DateScale(first, last, columns)
    assert scale.column(first) == 0 or columns > length
    assert 0 <= scale.column(first) <= scale.column(last) < columns


@given(days, st.integers(1, 4000), st.integers(30, 230))
def test_date_ticks_never_overlap(first, length, columns):
    scale = DateScale(first, first + dt.timedelta(days=length), columns)
    ticks = scale.ticks()
    for (x, label), (after, _) in itertools.pairwise(ticks):
        assert x + len(label) < after


@given(st.floats(40, 300), st.floats(0.1, 200), st.integers(3, 40))
def test_pace_ticks_lie_inside_and_are_not_crowded(fastest, height, rows):
    scale = PaceScale.around([fastest, fastest + height], rows)
    rows_used = [row for row, _ in scale.ticks()]
    assert len(set(rows_used)) == len(rows_used)
    assert all(0 <= row < rows for row in rows_used)


def test_pace_labels_are_minutes_and_seconds():
    assert [label for _, label in PaceScale(88.0, 101.0, 12).ticks()] == ["1:30", "1:35", "1:40"]
    assert [label for _, label in PaceScale(88.2, 90.4, 12).ticks()] == [
        "1:28.5",
        "1:29.0",
        "1:29.5",
        "1:30.0",
    ]
