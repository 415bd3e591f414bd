"""`judge` on any table: laws that hold whatever the numbers are, and rows that cannot be used."""

import datetime as dt
import math
import warnings

import pandas as pd
import pytest

from tests.builders import START, a_season
from tracker.app.judge import judge, judge_columns
from tracker.engine.verdict.verdict import FewTests
from tracker.errors import BadFileError

SEASONS = {
    "Flat Since Autumn": [(7.0, 0.9), (8.0, 0.0)],
    "Always Gaining": [(15.0, 0.8)],
    "Slipping": [(8.0, 0.6), (7.0, -0.9)],
}


@pytest.fixture(scope="module")
def table() -> pd.DataFrame:
    rows = []
    for seed, (name, rates) in enumerate(SEASONS.items()):
        days, paces = a_season(rates, seed=seed)
        rows += [
            (name, (START + dt.timedelta(days=d)).isoformat(), p) for d, p in zip(days, paces, strict=True)
        ]
    return pd.DataFrame(rows, columns=["swimmer", "date", "pace"])


def numbers(frame: pd.DataFrame) -> pd.DataFrame:
    return frame[
        ["p_gaining", "p_flat", "p_slipping", "rate_pct_per_month", "rate_low", "rate_high", "noise_pct"]
    ]


def same(one: pd.DataFrame, other: pd.DataFrame, tolerance: float = 2e-3) -> None:
    assert one["swimmer"].tolist() == other["swimmer"].tolist()
    assert one["verdict"].tolist() == other["verdict"].tolist()
    assert (numbers(one) - numbers(other)).abs().to_numpy().max() < tolerance


def test_three_plain_seasons_get_the_words_they_were_made_for(table) -> None:
    found = judge(table).set_index("swimmer")
    assert found["verdict"].to_dict() == {
        "Flat Since Autumn": "plateau",
        "Always Gaining": "gaining",
        "Slipping": "slipping",
    }
    assert ((found["p_gaining"] + found["p_flat"] + found["p_slipping"]) - 1).abs().max() < 1e-9
    onset = dt.date.fromisoformat(found.loc["Flat Since Autumn", "since"])
    assert abs((onset - START).days / 30.4375 - 7.0) < 2.0


def test_order_of_rows_does_not_matter(table) -> None:
    same(judge(table), judge(table.sample(frac=1.0, random_state=3)), tolerance=1e-9)


def test_a_slower_unit_of_distance_changes_nothing_but_the_pace(table) -> None:
    """Pace per 100 yards is 0.9144 of pace per 100 m: a shift of the logarithm, no more."""
    yards = table.assign(pace=table["pace"] * 0.9144)
    same(judge(table), judge(yards))


def test_dates_moved_as_a_whole_move_the_onset_and_nothing_else(table) -> None:
    later = table.assign(
        date=[(dt.date.fromisoformat(d) + dt.timedelta(days=1000)).isoformat() for d in table["date"]]
    )
    one, other = judge(table), judge(later)
    same(one, other, tolerance=1e-6)
    moved = [
        (dt.date.fromisoformat(b) - dt.date.fromisoformat(a)).days
        for a, b in zip(one["since"], other["since"], strict=True)
    ]
    assert all(abs(days - 1000) <= 1 for days in moved)


def test_written_times_and_seconds_are_the_same(table) -> None:
    rounded = table.assign(pace=table["pace"].round(1))
    written = rounded.assign(pace=[f"{int(p // 60)}:{p % 60:04.1f}" for p in rounded["pace"]])
    same(judge(rounded), judge(written), tolerance=1e-9)


def test_a_swimmer_alone_and_among_others_gets_the_same_verdict(table) -> None:
    """Under 30 swimmers the priors are the built-in ones, so company must not matter."""
    together = judge(table)
    alone = pd.concat([judge(part) for _, part in table.groupby("swimmer")], ignore_index=True)
    same(together, alone, tolerance=1e-6)


def test_as_of_looks_at_nothing_later(table) -> None:
    day = START + dt.timedelta(days=200)
    cut = table[[dt.date.fromisoformat(d) <= day for d in table["date"]]]
    one, other = judge(table, as_of=day), judge(cut)
    same(one, other, tolerance=1e-9)


BAD = [
    ("", "2026-01-01", "95", "swimmer"),
    ("Bad", "2026-02-30", "95", "no calendar"),
    ("Bad", "01/02/2026", "95", "order of day and month"),
    ("Bad", "2026-01-01", "6:75", "75 seconds"),
    ("Bad", "2026-01-01", "nan", "not a time"),
    ("Bad", "2026-01-01", "inf", "not a time"),
    ("Bad", "2026-01-01", "0", "between 0"),
    ("Bad", "2026-01-01", "-95", "negative"),
    ("Bad", "2026-01-01", "", "empty"),
]


@pytest.mark.parametrize(("swimmer", "date", "pace", "why"), BAD)
def test_a_row_that_cannot_be_used_is_listed_with_its_row_and_reason(swimmer, date, pace, why) -> None:
    judged = judge_columns({"swimmer": ["Ada", swimmer], "date": ["2026-01-01", date], "pace": ["95", pace]})
    assert [row.row for row in judged.unused] == [3]
    assert why in judged.unused[0].reason
    assert [verdict.swimmer for verdict in judged.verdicts] == ["Ada"]


def test_a_missing_column_is_named() -> None:
    with pytest.raises(BadFileError, match="no column pace"):
        judge_columns({"swimmer": ["a"], "date": ["2026-01-01"]})


ODD = {
    "two tests": ([0, 30], [95.0, 94.0]),
    "one test": ([0], [95.0]),
    "all on one day": ([5] * 12, [95.0 + i / 10 for i in range(12)]),
    "all equal": (list(range(0, 300, 7)), [95.0] * 43),
    "one a year": ([0, 365, 730, 1095], [99.0, 97.0, 96.0, 95.5]),
    "a gap of a year": ([*range(0, 100, 7), *range(500, 700, 7)], [95.0 - i / 20 for i in range(44)]),
    "the same test twice": ([0, 0, *range(7, 210, 7)], [95.0] * 2 + [95 - i / 30 for i in range(29)]),
    "1,000 tests": (list(range(1000)), [100.0 + (i * 37 % 11) / 10 for i in range(1000)]),
    "absurd spread": (list(range(0, 210, 7)), [1e-3 if i % 2 else 9e4 for i in range(30)]),
}


@pytest.mark.parametrize("name", ODD)
def test_odd_input_gets_a_clear_answer_without_a_warning(name: str) -> None:
    days, paces = ODD[name]
    dates = [(START + dt.timedelta(days=d)).isoformat() for d in days]
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        judged = judge_columns({"swimmer": [name] * len(days), "date": dates, "pace": paces})
    (verdict,) = judged.verdicts
    total = verdict.p_gaining + verdict.p_flat + verdict.p_slipping
    assert math.isclose(total, 1.0, abs_tol=1e-6)
    assert all(
        math.isfinite(x) for x in (verdict.rate, verdict.rate_low, verdict.rate_high, verdict.noise_pct)
    )
    assert verdict.rate_low <= verdict.rate <= verdict.rate_high
    assert verdict.first <= verdict.since <= verdict.last
    if len(set(days)) < 8:
        assert verdict.verdict == "too early"
        assert isinstance(verdict.reasons[0], FewTests)


def test_all_equal_times_over_ten_months_are_a_plateau() -> None:
    days, paces = ODD["all equal"]
    dates = [(START + dt.timedelta(days=d)).isoformat() for d in days]
    (verdict,) = judge_columns({"swimmer": ["Even"] * 43, "date": dates, "pace": paces}).verdicts
    assert verdict.verdict == "plateau"
    assert verdict.before_record


def test_the_old_path_works_for_one_release_more() -> None:
    import importlib

    with pytest.warns(DeprecationWarning, match=r"tracker\.app\.judge"):
        old = importlib.import_module("tracker.usecases.judge")
    assert old.judge is judge
