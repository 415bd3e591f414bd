"""Offsets, noises and seasons pooled over a roster."""

from dataclasses import replace

import numpy as np
import pytest

from tests.simulate.seasons import JOINT, SLOW, batch, seasons
from tracker.engine.trend.learn import learn
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.trend.roster_effects import own_estimates, pooled_offsets, pooled_ratios, pooled_season


def test_taking_the_prior_out_gives_back_the_estimate() -> None:
    estimate, variance, mean, sd = 2.0, 0.25, 0.5, 1.5
    precision = 1 / variance + sd**-2
    posterior = (estimate / variance + mean / sd**2) / precision
    found = own_estimates(*(np.array([[v]]) for v in (posterior, precision**-0.5, mean, sd)))
    assert found[:, 0, 0] == pytest.approx([estimate, variance])


def test_offsets_are_pooled_with_their_spread_and_shrug_off_an_odd_series() -> None:
    rng = np.random.default_rng(1)
    truth = rng.normal(5.0, 1.0, 300)
    seen = np.stack([truth + rng.normal(0, 0.5, 300), np.full(300, 0.25)])[:, None, :]
    seen[0, 0, 0] = 400.0
    mean, sd = pooled_offsets(seen, ("t200",), {})["t200"]
    assert mean == pytest.approx(5.0, abs=0.25)
    assert sd == pytest.approx(1.0, abs=0.25)


def test_too_few_series_leave_the_published_offset_alone() -> None:
    seen = np.stack([np.full((1, 5), 9.0), np.full((1, 5), 0.1)])
    assert pooled_offsets(seen, ("LCM",), {"LCM": (-2.0, 0.6)}) == {"LCM": (-2.0, 0.6)}


def test_noise_ratio_is_the_root_of_the_squares() -> None:
    seen = np.array([[[10000.0, 22500.0]], [[10000.0, 10000.0]]])
    assert pooled_ratios(seen, ("open water",), {})["open water"] == pytest.approx(1.5, abs=0.01)


def test_a_common_wave_is_found_and_none_where_there_is_none() -> None:
    rng = np.random.default_rng(2)
    noise = rng.normal(0, 0.3, (2, 400))
    wave, _ = pooled_season(np.stack([np.array([[0.5], [-0.2]]) + noise, np.full((2, 400), 0.09)]))
    assert wave == pytest.approx((0.5, -0.2), abs=0.06)
    _, sd = pooled_season(np.stack([noise, np.full((2, 400), 0.09)]))
    assert sd < 0.12
    assert pooled_season(np.zeros((2, 2, 0))) == ((0.0, 0.0), 0.0)


def test_a_roster_teaches_its_offsets() -> None:
    tests = batch(seasons(np.random.default_rng(5), 120, JOINT), JOINT)
    found = learn(tests, BUILT_IN, rounds=2).offsets
    # the generator: 200s +5 (sd 1), 50 m pool -2 (0.7), wetsuit +5 (1.5)
    for name, mean, sd in (("t200", 5.0, 1.0), ("LCM", -2.0, 0.7), ("wetsuit", 5.0, 1.5)):
        assert found[name][0] == pytest.approx(mean, abs=0.6)
        assert found[name][1] == pytest.approx(sd, abs=0.6)


def test_a_roster_teaches_a_strong_common_season_only() -> None:
    calm = batch(seasons(np.random.default_rng(6), 120, replace(SLOW, season=0.0)), SLOW)
    wave = 1.2 * np.sin(2 * np.pi * calm.t / 12)
    used = np.arange(calm.t.shape[1]) < calm.count[:, None]
    seasonal = replace(calm, y=calm.y + np.where(used, wave, 0.0))
    assert learn(calm, BUILT_IN, rounds=3).season_sd == 0.0
    assert learn(seasonal, BUILT_IN, rounds=4).season[0] > 0.5
