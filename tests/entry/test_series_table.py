"""A table of a judged series: what must be there, and what is empty."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from tracker.entry.series_table import OPTIONAL, REQUIRED, read_series_table
from tracker.errors import BadFileError

ONE = {"swimmer": ["Ana Prova"], "date": ["2026-05-04"], "pace": ["1:40"]}


@pytest.mark.parametrize("left_out", REQUIRED)
def test_a_required_column_that_is_missing_is_named(left_out: str) -> None:
    with pytest.raises(BadFileError, match=f"^no column {left_out}: the header must name"):
        read_series_table({name: cells for name, cells in ONE.items() if name != left_out})


def test_every_required_column_that_is_missing_is_named() -> None:
    with pytest.raises(BadFileError, match=f"^no column {' and no column '.join(REQUIRED)}: "):
        read_series_table({"test": ["t400"]})


@pytest.mark.parametrize("missing", [None, math.nan, ""])
def test_a_missing_value_of_any_kind_is_as_if_the_column_were_not_there(missing: object) -> None:
    table, unused = read_series_table(ONE | {name: [missing] for name in OPTIONAL})
    assert (table, unused) == read_series_table(ONE)
    assert (table.pace, table.suit, table.weight, unused) == ([100.0], [""], [1.0], ())
    assert table.date == [dt.date(2026, 5, 4)]


@pytest.mark.parametrize("missing", [None, math.nan, ""])
def test_a_row_without_anything_is_passed_over_and_one_without_a_name_is_told(missing: object) -> None:
    empty = {name: [missing, *cells] for name, cells in ONE.items()}
    assert read_series_table(empty) == read_series_table(ONE)
    _, (unused,) = read_series_table(ONE | {"swimmer": [missing]})
    assert (unused.row, unused.reason) == (2, "no swimmer's name")
