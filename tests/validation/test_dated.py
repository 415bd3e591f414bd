"""The stationary world is one, a cut may fall anywhere, and the oracle knows what it says it knows."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.simulate.scoring import BAND
from tests.simulate.seasons import Season
from tests.simulate.stationary import (
    FLAT,
    GAINING,
    SLIPPING,
    STATIONARY,
    WORLDS,
    class_of,
    cut_at_random,
    life,
    lives,
    spells,
    until,
    weeks_since_change,
)
from tests.validation.dated import drawn_at_random_dates, truth_of
from tests.validation.oracle import DENSITIES, GRID, Particles, asked
from tests.validation.populations import from_first_test
from tests.validation.random_dates import log_loss
from tracker.model.units import DAYS_PER_MONTH

YEARS = 20_000


@pytest.fixture(scope="module")
def classes() -> np.ndarray:
    """Return the classes of a life of 55 years, by day."""
    return class_of(spells(np.random.default_rng(1), STATIONARY, YEARS), BAND)


def test_spells_last_as_long_as_the_world_says(classes: np.ndarray) -> None:
    lengths = np.diff(np.flatnonzero(np.diff(classes))) / DAYS_PER_MONTH
    # a gaining spell may be followed by another, so spells of one class are longer than 7 to 9 months
    flat = np.concatenate([[0], classes == FLAT, [0]]).astype(int)
    edges = np.flatnonzero(np.diff(flat)).reshape(-1, 2)
    assert 5.0 < np.diff(edges).mean() / DAYS_PER_MONTH < 11.0
    assert lengths.min() * DAYS_PER_MONTH >= 7


def test_after_a_flat_spell_comes_a_moving_one(classes: np.ndarray) -> None:
    ends = np.flatnonzero((classes[:-1] == FLAT) & (classes[1:] != FLAT))
    after = classes[ends + 1]
    assert (after == GAINING).sum() > (after == SLIPPING).sum() > 0


def test_the_world_at_its_end_is_the_world_at_any_date() -> None:
    own = lives(np.random.default_rng(2), 400, replace(STATIONARY, weeks=(100, 101)))
    half = [s.rate[s.rate.size // 2] for s in own]
    shares = [np.bincount(class_of(np.array(rates), BAND), minlength=3) / 400
              for rates in ([s.now for s in own], half)]  # fmt: skip
    np.testing.assert_allclose(shares[0], shares[1], atol=0.1)
    young = np.array([weeks_since_change(s, BAND) for s in own]) < 8
    assert 0.08 < young.mean() < 0.30


def test_a_cut_keeps_what_was_known_then_and_nothing_later() -> None:
    rng = np.random.default_rng(3)
    for whole in lives(rng, 40, STATIONARY):
        part = cut_at_random(rng, whole)
        n = part.t.size
        np.testing.assert_array_equal(part.y, whole.y[:n])
        assert part.rate.size == round(part.t[-1] * DAYS_PER_MONTH) + 1
        assert part.t[-1] <= whole.t[-1]
        assert all(end <= part.t[-1] + 1e-9 for _, end in part.stretches)
    ends = [cut_at_random(rng, whole).t[-1] / whole.t[-1] for _ in range(50)]
    assert min(ends) < 0.65
    assert max(ends) > 0.85


def test_weeks_since_a_change_are_counted_from_the_day_it_came() -> None:
    rate = np.concatenate([np.full(100, 0.8), np.full(22, 0.0)])
    days = np.arange(0, 122, 11)
    swimmer = Season(days / DAYS_PER_MONTH, np.zeros(days.size), np.zeros(days.size, int), rate, 1.0)
    assert weeks_since_change(swimmer, BAND) == pytest.approx(22 / 7)
    assert weeks_since_change(until(swimmer, 9), BAND) == np.inf
    assert truth_of([swimmer]).now.tolist() == [FLAT]
    assert truth_of([swimmer]).month_ago.tolist() == [GAINING]


@pytest.mark.parametrize("name", WORLDS)
def test_each_world_has_its_trouble_and_no_other(name: str) -> None:
    plain = [life(np.random.default_rng((4, i)), STATIONARY) for i in range(8)]
    own = [life(np.random.default_rng((4, i)), WORLDS[name]) for i in range(8)]
    assert any((s.kind > 0).any() for s in own) == (name == "a switch of pool")
    assert any(s.back is not None for s in own) == (name == "unmarked lay-offs")
    wander = any(np.unique(s.rate).size > s.rate.size / 2 for s in own)
    assert wander == (name == "drifting rates")
    assert all(s.t[0] < 2 for s in plain)


def test_rosters_at_random_dates_have_fresh_changes_where_whole_ones_have_none() -> None:
    fresh = truth_of(drawn_at_random_dates("quick", 150)).weeks
    assert (fresh < 6).sum() > 5


def test_the_oracles_densities_are_those_of_the_errors() -> None:
    step = GRID[1] - GRID[0]
    np.testing.assert_allclose(DENSITIES.sum(axis=1) * step, 1.0, atol=2e-3)
    mean = (DENSITIES[2] * GRID).sum() * step
    assert mean == pytest.approx(-0.12 * 2.5, abs=0.01)


def test_the_oracles_lives_are_those_of_the_world() -> None:
    rng = np.random.default_rng(5)
    lived = Particles.born(rng, STATIONARY, 4000)
    for _ in range(20):
        lived.go_on(11)
    own = [spells(rng, STATIONARY, 220) for _ in range(1500)]
    there = np.bincount(class_of(lived.rate, BAND), minlength=3) / 4000
    here = np.bincount(class_of(np.array([r[-1] for r in own]), BAND), minlength=3) / 1500
    np.testing.assert_allclose(there, here, atol=0.045)
    gained = np.array([r[:220].sum() for r in own]) / DAYS_PER_MONTH
    assert lived.level.mean() == pytest.approx(gained.mean(), abs=0.4)
    assert lived.level.std() == pytest.approx(gained.std(), rel=0.08)


def test_the_oracle_foretells_better_than_the_worlds_shares_and_sees_what_is_plain() -> None:
    rng = np.random.default_rng(6)
    swimmers = [from_first_test(cut_at_random(rng, s)) for s in lives(rng, 24, STATIONARY)]
    p = np.array([asked(rng, STATIONARY, s, 2000).p for s in swimmers])
    truth = truth_of(swimmers).now
    alike = np.tile([0.5, 0.38, 0.12], (24, 1))
    assert log_loss(p, truth).mean() < log_loss(alike, truth).mean() - 0.2
    days = np.arange(0, 365, 7)
    gains = Season(days / DAYS_PER_MONTH, days / DAYS_PER_MONTH + rng.normal(0, 0.8, days.size),
                   np.zeros(days.size, int), np.ones(360), 0.8)  # fmt: skip
    told = asked(rng, STATIONARY, gains, 4000)
    assert told.p[GAINING] > 0.8
    assert told.low < 1.0 < told.high
