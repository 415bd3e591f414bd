"""Each sign of the chart means one thing, and the list of keys explains it."""

from __future__ import annotations

from tracker.engine.verdict.verdict import Word
from tracker.model.vocabularies import State
from tracker.output.sentences.verdict import mark_of
from tracker.tui.drawing.cells import HATCH
from tracker.tui.drawing.fault_lanes import MARK, pattern_of
from tracker.tui.screens.keys import CHART_SIGNS


def test_an_event_has_a_mark_that_no_verdict_and_no_other_sign_of_the_chart_has():
    others = {*map(mark_of, Word), *map(pattern_of, State), HATCH, *"•◦×│┤┬└─"}
    assert MARK not in others
    assert len(MARK) == 1


def test_the_signs_are_explained_in_rows_that_fit_a_small_window():
    explained = " ".join(CHART_SIGNS)
    for sign in (MARK, HATCH, *map(pattern_of, State), *"•◦×"):
        assert f"{sign} " in explained
    assert not set(explained) & set(map(mark_of, Word))
    assert all(len(row) + 6 <= 80 for row in CHART_SIGNS)
