"""Hour, effort and taper as columns of a table of series."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from tracker.app.judge import Judged, judge, judge_columns
from tracker.app.judge_file import judge_file
from tracker.engine.series.left_out import LeftOutReason
from tracker.settings import DEFAULT

FIRST = dt.date(2026, 1, 5)


def a_table(weeks: int = 30, *, moved: float = 0.0, **columns: Any) -> dict[str, list[Any]]:
    """Return weekly tests of a steady gainer; `moved` percent slower from week 24 on."""
    week = np.arange(weeks)
    level = 0.12 * week + np.random.default_rng(3).normal(0.0, 0.9, weeks) - moved * (week >= 24)
    return {
        "swimmer": ["Ada"] * weeks,
        "date": [(FIRST + dt.timedelta(weeks=int(n))).isoformat() for n in week],
        "pace": [f"{100 * np.exp(-one / 100):.2f}" for one in level],
        **columns,
    }


def said(judged: Judged) -> dict[str, float]:
    (verdict,) = judged.verdicts
    return {"gaining": verdict.p_gaining, "flat": verdict.p_flat, "slipping": verdict.p_slipping}


def test_a_move_to_mornings_is_no_slowing_where_the_hour_is_given() -> None:
    hours = ["18:10"] * 24 + ["06:50"] * 6
    without = judge_columns(a_table(moved=2.5))
    given = judge_columns(a_table(moved=2.5, at=hours))
    assert given.unused == ()
    assert said(given)["gaining"] > said(without)["gaining"] + 0.2


def test_half_the_hours_may_be_missing_and_one_hour_says_nothing() -> None:
    bare = judge_columns(a_table())
    for at in ([""] * 30, ["07:00"] * 30, ["07:00", None] * 15, ["07:00", float("nan")] * 15):
        assert judge_columns(a_table(at=at)) == bare


def test_effort_and_taper_are_read_as_numbers_and_words_and_from_a_frame() -> None:
    effort = [9.0, None, 10.0] * 10
    taper = ["no"] * 29 + ["yes"]
    table = a_table(effort=effort, taper=taper)
    judged = judge_columns(table)
    assert judged.unused == ()
    assert said(judged) != said(judge_columns(a_table()))
    frame = judge(pd.DataFrame(table))
    assert frame.attrs["unused"] == []
    assert frame["p_flat"].tolist() == pytest.approx([said(judged)["flat"]], abs=1e-3)


def test_an_effort_that_is_always_7_leaves_no_test_and_says_why() -> None:
    judged = judge_columns(a_table(effort=["7"] * 30))
    assert (judged.verdicts, judged.unused) == ((), ())
    assert len(judged.left_out) == 30
    assert {one.reason for one in judged.left_out} == {LeftOutReason.EASY}
    (row,) = judge(pd.DataFrame(a_table(effort=["7"] * 30))).to_dict("records")
    assert row["verdict"] == "too early"
    assert row["reasons"][-1] == (
        "30 swims left out: effort below 8, so not a test; swim a test at effort 9 or 10."
    )


def test_an_easy_swim_is_understood_and_does_not_count() -> None:
    table = a_table(effort=["9", "3", "10"] * 10)
    without = {name: [cell for i, cell in enumerate(cells) if i % 3 != 1] for name, cells in table.items()}
    judged = judge_columns(table)
    assert (judged.verdicts, judged.unused) == (judge_columns(without).verdicts, ())
    assert len(judged.left_out) == 10


def test_an_easy_swim_ends_a_break_as_any_swim_on_record_does() -> None:
    """As in `scan`: after weeks without any swim the first tests are weighed less."""
    table = a_table(effort=["9"] * 30)
    gone = [i for i in range(30) if i not in range(13, 17)]
    easy = {**table, "effort": ["5" if i in range(13, 17) else "9" for i in range(30)]}
    broken = {name: [cells[i] for i in gone] for name, cells in table.items()}
    assert said(judge_columns(easy)) != said(judge_columns(broken))


def test_easy_swims_after_the_day_asked_for_are_not_spoken_of() -> None:
    table = a_table(effort=["9"] * 29 + ["3"])
    last = dt.date.fromisoformat(str(table["date"][-1]))
    assert judge_columns(table, as_of=last - dt.timedelta(days=1)).left_out == ()
    assert len(judge_columns(table, as_of=last).left_out) == 1


@pytest.mark.parametrize(
    ("column", "cell", "why"),
    [
        ("at", "7 am", "at '7 am' is not a time of day; write it as 07:30"),
        ("at", "25:00", "at '25:00' is not a time of day; write it as 07:30"),
        ("effort", "11", "effort '11' is not a whole number from 1 to 10"),
        ("effort", "8.5", "effort '8.5' is not a whole number from 1 to 10"),
        ("effort", "hard", "effort 'hard' is not a number"),
        ("taper", "perhaps", "taper 'perhaps' is neither yes nor empty"),
    ],
)
def test_a_condition_that_cannot_be_read_is_listed_with_its_row(column: str, cell: str, why: str) -> None:
    judged = judge_columns(a_table(**{column: [""] * 4 + [cell] + [""] * 25}))
    assert [(row.row, row.reason) for row in judged.unused] == [(6, why)]
    assert judged.verdicts[0].tests == 29


def test_two_tests_of_one_day_at_two_hours_are_one_day() -> None:
    table = a_table(at=["07:00", "18:00"] * 15)
    dates = table["date"]
    table["date"] = [dates[place - place % 2] for place in range(30)]
    judged = judge_columns(table)
    assert judged.unused == ()
    assert judged.verdicts[0].tests == 15


def test_a_file_with_decimal_commas_may_say_effort_so(tmp_path: Path) -> None:
    table = a_table(effort=["9,0"] * 30)
    file = tmp_path / "tests.csv"
    paces = [pace.replace(".", ",") for pace in table["pace"]]
    rows = zip(table["swimmer"], table["date"], paces, table["effort"], strict=True)
    file.write_text("\n".join(["swimmer;date;pace;effort", *(";".join(row) for row in rows)]))
    judged = judge_file(file, settings=DEFAULT)
    assert judged.unused == ()
    assert judged.verdicts[0].tests == 30
