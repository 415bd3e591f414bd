"""Did it help: nothing is claimed where nothing helps, a true effect is found, and naive readings mislead."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from tests.technique.natural import FIRST, a_natural_roster, a_natural_season
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.observations import observations_from_lists
from tracker.engine.trend.priors import Priors
from tracker.model.units import DAYS_PER_MONTH
from tracker.technique.effect import Effect, effect_of
from tracker.technique.fault_timeline import Change
from tracker.technique.matched_comparison import Levels, Pools

FAR = dt.date(2030, 1, 1)
LABEL = ("correction", "breath-late", "")


def on_month(month: float) -> dt.date:
    return FIRST + dt.timedelta(days=round(month * DAYS_PER_MONTH))


def slope(tested: Levels, date: dt.date, first: float, last: float) -> float:
    t = tested.months_from(date)
    used = (t >= first) & (t < last)
    return float(np.polyfit(t[used], tested.y[used], 1)[0])


def picked_by_feel(roster: dict[str, Levels], rng: np.random.Generator, share: float) -> list[Change]:
    """Return corrections by a coach who, every month, picks some of those whose last six weeks look flat."""
    left, changes = set(roster), []
    for month in range(8, 19):
        date = on_month(month)
        for name, tested in roster.items():
            if name in left and slope(tested, date, -1.4, 0) <= 0 and rng.random() < share:
                changes.append(Change(name, "correction", "breath-late", date))
                left.discard(name)
    return changes


def test_a_true_effect_is_found_and_given_back_to_each_swimmer() -> None:
    """30 of 120 swimmers gain 1.5 %/month more from three weeks after the correction on."""
    rng = np.random.default_rng(21)
    roster = a_natural_roster(120, rng)
    helped = {name: a_natural_season(name, rng, help_at=14.7, helped=1.5) for name in list(roster)[:30]}
    changes = [Change(name, "correction", "breath-late", on_month(14)) for name in helped]
    found = effect_of(changes, Pools(roster | helped, changes), until=FAR, label=LABEL)
    assert found.gain is not None
    assert found.gain.low > 0.5
    assert found.gain.low < 1.5 < found.gain.high
    assert found.gain.low < found.gain.low80 < found.gain.value < found.gain.high80 < found.gain.high
    assert found.alike_before
    assert {own.swimmer for own in found.each} <= set(helped)
    assert len(found.each) == found.changed
    assert all(own.low < own.value < own.high for own in found.each)
    assert np.mean([own.low < 1.5 < own.high for own in found.each]) > 0.75
    assert found.spread is not None
    assert 0 <= found.spread.low <= found.spread.value <= found.spread.high
    assert found.spread.high > 0
    assert np.mean([own.value for own in found.each]) == pytest.approx(found.gain.value, abs=0.3)


def test_statsmodels_mixed_model_is_of_the_same_opinion() -> None:
    """The same contrasts given to MixedLM: estimate and interval agree to a few percent of the interval."""
    roster = a_natural_roster(60, np.random.default_rng(25))
    changes = picked_by_feel(roster, np.random.default_rng(26), 0.1)
    found = effect_of(changes, Pools(roster, changes), until=FAR, label=LABEL, checked=True)
    assert found.gain is not None
    assert found.general is not None
    width = found.gain.high - found.gain.low
    assert found.general.value == pytest.approx(found.gain.value, abs=0.03 * width)
    assert found.general.low == pytest.approx(found.gain.low, abs=0.05 * width)
    assert found.general.high == pytest.approx(found.gain.high, abs=0.05 * width)


def test_too_few_cases_are_said_and_nothing_is_claimed() -> None:
    roster = a_natural_roster(40, np.random.default_rng(22))
    changes = [Change(name, "correction", "breath-late", on_month(14)) for name in list(roster)[:4]]
    found = effect_of(changes, Pools(roster, changes), until=FAR, label=LABEL)
    assert (found.tried, found.changed, found.gain, found.missing) == (4, 4, None, "too few cases")


def test_a_change_in_the_future_and_an_unknown_swimmer_do_not_count() -> None:
    roster = a_natural_roster(10, np.random.default_rng(23))
    changes = [Change("swimmer 1", "cue", "", on_month(14)), Change("nobody", "cue", "", on_month(3))]
    found = effect_of(changes, Pools(roster, changes), until=on_month(13), label=("cue", "", ""))
    assert (found.tried, found.changed) == (1, 0)


def test_nobody_is_compared_who_was_changed_in_the_same_way_about_then() -> None:
    """Everybody corrected within the same months: nobody is left to compare with."""
    roster = a_natural_roster(30, np.random.default_rng(24))
    changes = [
        Change(name, "correction", "breath-late", on_month(12 + n % 3)) for n, name in enumerate(roster)
    ]
    found = effect_of(changes, Pools(roster, changes), until=FAR, label=LABEL)
    assert (found.tried, found.compared, found.missing) == (30, 0, "too few cases")


def test_the_same_data_give_the_same_effect() -> None:
    roster = a_natural_roster(60, np.random.default_rng(25))
    changes = picked_by_feel(roster, np.random.default_rng(26), 0.1)
    found = [effect_of(changes, Pools(roster, changes), until=FAR, label=LABEL) for _ in range(2)]
    assert found[0] == found[1]


@pytest.mark.slow
def test_naive_before_and_after_finds_most_improved_where_nothing_helps() -> None:
    """1,500 natural seasons, true effect 0; of those flat in the last six weeks, a random half "corrected".

    Regression to the mean, as a separate program, written for this project and not kept, had it: before = the
    six weeks by which they were picked: +1.15 %/month and 85 % "improved", as much in the uncorrected half;
    before = four months: +0.03. The seasons here are drawn anew (natural.py): the size differs a little.
    """
    rng = np.random.default_rng(1)
    roster = a_natural_roster(1500, rng)
    date = on_month(14)
    picked = [one for one in roster.values() if slope(one, date, -1.4, 0) <= 0]
    rng.shuffle(picked)
    halves = picked[::2], picked[1::2]
    naive = [np.array([slope(x, date, 0, 4) - slope(x, date, -1.4, 0) for x in half]) for half in halves]
    longer = [np.array([slope(x, date, 0, 4) - slope(x, date, -4, 0) for x in half]) for half in halves]
    assert naive[0].mean() > 0.9
    assert (naive[0] > 0).mean() > 0.82
    assert abs(naive[0].mean() - naive[1].mean()) < 0.2
    assert abs(longer[0].mean()) < 0.12
    assert abs(longer[0].mean() - longer[1].mean()) < 0.1


@pytest.mark.slow
def test_the_engine_s_own_flag_is_a_better_pick_but_needs_a_comparison_too() -> None:
    """Third row of that table: picked at P(flat) >= 0.8 by the engine, before = four months: +0.14 with 0.03
    of error in both halves, 0.01 (0.03) between them. Flat swimmers really do move again by themselves."""
    rng = np.random.default_rng(2)
    date = on_month(14)
    roster = list(a_natural_roster(1500, rng).values())
    told = [one.months_from(date) < 0 for one in roster]
    answer = analyse(
        observations_from_lists(
            [one.months_from(date)[known] for one, known in zip(roster, told, strict=True)],
            [one.y[known] for one, known in zip(roster, told, strict=True)],
        ),
        Priors(),
        band=0.15,
    )
    flagged = [one for one, p in zip(roster, answer.p_flat, strict=True) if p >= 0.8]
    rng.shuffle(flagged)
    change = [
        np.array([slope(x, date, 0, 4) - slope(x, date, -4, 0) for x in half])
        for half in (flagged[::2], flagged[1::2])
    ]
    error = max(half.std() / len(half) ** 0.5 for half in change)
    assert len(flagged) > 100
    assert 0.0 < np.concatenate(change).mean() < 0.4
    assert abs(change[0].mean() - change[1].mean()) < 3 * error * 2**0.5


@pytest.mark.slow
def test_where_nothing_helps_an_effect_is_claimed_no_more_often_than_declared() -> None:
    """100 rosters of 150 in which a coach picks by feel and nothing helps.

    Declared: the 90 % interval leaves out zero in 10 %. With 100 rosters up to 17 are compatible with that
    (binomial, 99 %); over 200 it was 11.5 %. The mean over the rosters must lie within 3 standard
    errors of zero.
    """
    found: list[Effect] = []
    for seed in range(100):
        rng = np.random.default_rng(seed)
        roster = a_natural_roster(150, rng)
        changes = picked_by_feel(roster, rng, 0.07)
        found.append(effect_of(changes, Pools(roster, changes), until=FAR, label=LABEL))
    gains = [one.gain for one in found if one.gain is not None]
    assert len(gains) == 100
    assert sum(gain.excludes_zero for gain in gains) <= 17
    values = np.array([gain.value for gain in gains])
    assert abs(values.mean()) < 3 * values.std(ddof=1) / len(values) ** 0.5 + 0.02


def test_five_cases_are_enough() -> None:
    roster = a_natural_roster(40, np.random.default_rng(22))
    changes = [Change(name, "correction", "breath-late", on_month(14)) for name in list(roster)[:5]]
    found = effect_of(changes, Pools(roster, changes), until=FAR, label=LABEL)
    assert (found.tried, found.changed, found.missing) == (5, 5, "")
    assert found.gain is not None
