"""What the priors imply of a record's beginning."""

from dataclasses import replace

import numpy as np
import pytest

from tests.simulate.seasons import QUICK, batch, seasons
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.learn import LEAST_NOISE, learn
from tracker.engine.trend.observations import observations_from_lists
from tracker.engine.trend.priors import BUILT_IN, FLAT


def test_a_record_opens_with_the_long_run_shares_of_time() -> None:
    # brute force: one swimmer's segments one after the other, and how long each label lasted in all
    rng = np.random.default_rng(1)
    priors = replace(BUILT_IN, label_weight=(0.35, 0.5, 0.15), hazard=(0.1, 0.2, 0.15))
    weight, before, months = np.array(priors.label_weight), -1, np.zeros(3)
    for _ in range(60_000):
        chance = weight.copy()
        if before == FLAT:
            chance[FLAT] = 0.0
        before = int(rng.choice(3, p=chance / chance.sum()))
        months[before] += rng.exponential(1 / priors.hazard[before])
    assert priors.opening == pytest.approx(months / months.sum(), abs=0.01)
    assert sum(priors.opening) == pytest.approx(1)


def test_what_a_roster_says_of_beginnings_goes_first() -> None:
    assert replace(BUILT_IN, first_weight=(0.2, 0.7, 0.1)).opening == (0.2, 0.7, 0.1)


def test_a_roster_teaches_how_records_begin_apart_from_how_they_go_on() -> None:
    # of these seasons a third begin flat, and after a moving spell always comes a flat one
    found = learn(batch(seasons(np.random.default_rng(6), 150, QUICK), QUICK), BUILT_IN, rounds=4)
    assert found.opening[FLAT] < 0.38
    assert found.label_weight[FLAT] > 0.5
    assert sum(found.opening) == pytest.approx(1)


def test_a_roster_whose_times_are_all_the_same_teaches_finite_numbers() -> None:
    # its noise went to zero by a factor of 15 a round, the other numbers became NaN, and every later
    # verdict of the club ended in "All-NaN slice encountered"
    rng = np.random.default_rng(5)
    sizes = rng.integers(1, 31, 35)
    same = observations_from_lists(
        [np.sort(rng.uniform(0, 10, n)).round(1) for n in sizes],
        [np.zeros(n) for n in sizes],
        kind=[rng.integers(0, 2, n) for n in sizes],
        design=[[0.0], [1.0]],
        features=["200 m"],
    )
    found = learn(same, BUILT_IN, rounds=10)
    assert found.noise == LEAST_NOISE
    assert np.isfinite([*found.slope_mean, *found.slope_sd, *found.label_weight, *found.hazard]).all()
    assert np.isfinite(analyse(same, found).p).all()
