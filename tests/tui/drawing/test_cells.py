from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tracker.tui.drawing.cells import Cells, fitted, width_of

NAMES = st.text(
    st.sampled_from("aZ [/]@=\\:\x1b\x07\x9b\r\x00\u202e\u0308é李語هم🏊‍♀️\u200d\u200ckʼ")
    | st.characters(blacklist_categories=("Cs",)),
    max_size=40,
)


@given(NAMES, st.integers(0, 40))
def test_fitted_text_takes_exactly_its_cells_and_holds_no_control(text, width):
    result = fitted(text, width)
    assert width_of(result) == width
    assert not any(ord(char) < 32 or 127 <= ord(char) < 160 for char in result)


def test_short_text_is_shown_whole():
    assert fitted("Ana [/]", 10) == "Ana [/]   "


def test_long_text_ends_with_an_ellipsis():
    assert fitted("Ana Example", 6) == "Ana E…"


def test_wide_text_is_never_cut_in_half():
    assert fitted("凌汐舟", 4) == "凌… "


@given(NAMES, st.integers(-3, 12))
def test_a_line_is_as_wide_as_the_grid_whatever_is_put(text, x):
    cells = Cells(10, 1)
    cells.put(x, 0, fitted(text, width_of(fitted(text, 9)) if text else 0), "name")
    assert sum(width_of(run.text) for run in cells.line(0, range(1))) == 10
