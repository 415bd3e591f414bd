"""The one-dimensional mixed model is the general one: same estimates, faster, and no giving up."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.stats import beta

from tracker.engine.trend.observations import Floats
from tracker.engine.trend.pooling import Pooled, pool, shrink
from tracker.engine.trend.roster_opinion import fit_mixed
from tracker.errors import TooFewError


def effects(seed: int, spread: float, count: int = 30) -> tuple[list[Floats], list[Floats], Floats]:
    """Return rows, columns and arms of series whose effects are 0.5 + 0.8 arm, differing by `spread`."""
    rng = np.random.default_rng(seed)
    sizes = rng.integers(4, 25, count)
    h: list[Floats] = [rng.normal(0, 1, n) for n in sizes]
    x = np.column_stack([np.ones(count), np.arange(count) % 2.0])
    own = 0.5 + 0.8 * x[:, 1] + rng.normal(0, spread, count)
    return [a * b + rng.normal(0, 1.1, a.size) for a, b in zip(h, own, strict=True)], h, x


@pytest.mark.parametrize(("seed", "spread"), [(1, 0.6), (2, 0.3), (3, 1.5), (4, 0.8)])
def test_it_agrees_with_statsmodels(seed: int, spread: float) -> None:
    y, h, x = effects(seed, spread)
    group = np.repeat(np.arange(len(y)), [one.size for one in y])
    column = np.concatenate(h)
    general = fit_mixed(np.concatenate(y), column[:, None] * x[group], column[:, None], group)
    found = pool(y, h, x)
    assert found.b == pytest.approx(general.fixed, abs=2e-4)
    assert found.between == pytest.approx(general.between[0, 0], rel=5e-3, abs=1e-4)
    assert found.residual == pytest.approx(general.residual, rel=1e-3)
    assert found.covariance == pytest.approx(general.covariance, rel=0.06)  # its joint Hessian is wider
    assert found.own == pytest.approx(general.random[:, 0], abs=2e-3)


def test_balanced_groups_agree_with_the_analysis_of_variance() -> None:
    """h = 1 and one column: between = (mean squares between - within) / size, as worked by hand."""
    rng = np.random.default_rng(7)
    y = 5.0 + rng.normal(0, 2, 12)[:, None] + rng.normal(0, 1, (12, 6))
    found = pool(list(y), [np.ones(6)] * 12, np.ones((12, 1)))
    within = ((y - y.mean(axis=1, keepdims=True)) ** 2).sum() / (12 * 5)
    assert found.residual == pytest.approx(within, rel=1e-6)
    assert found.between == pytest.approx((6 * y.mean(axis=1).var(ddof=1) - within) / 6, rel=1e-5)


def test_series_that_do_not_differ_are_pooled_as_one() -> None:
    """Group means all equal: nothing between, and the estimate is the plain mean."""
    rng = np.random.default_rng(1)
    y = rng.normal(0, 1, (10, 6))
    y -= y.mean(axis=1, keepdims=True) - 3.0
    found = pool(list(y), [np.ones(6)] * 10, np.ones((10, 1)))
    assert (found.between, found.b[0]) == (0.0, pytest.approx(3.0))
    assert np.all(found.own == 0.0)
    assert found.between_low == 0.0
    assert found.between_high > 0.0
    assert np.all(found.own_sd > 0.0)


def test_units_of_the_rows_carry_through() -> None:
    y, h, x = effects(5, 0.7)
    small, large = pool(y, h, x), pool([10 * one for one in y], h, x)
    assert large.b == pytest.approx(10 * small.b, rel=1e-5)
    assert large.between == pytest.approx(100 * small.between, rel=1e-4)
    assert large.between_low == pytest.approx(100 * small.between_low, rel=1e-4)
    assert large.between_high == pytest.approx(100 * small.between_high, rel=1e-4)
    assert large.own_mean == pytest.approx(10 * small.own_mean, rel=1e-5)
    assert large.own_sd == pytest.approx(10 * small.own_sd, rel=1e-5)


@pytest.mark.parametrize("spread", [0.0, 0.3, 1.0])
def test_more_series_tell_more_of_how_far_they_differ(spread: float) -> None:
    """Widths of the interval of tau over 20 rosters each, of 10, 40 and 160 series."""

    def width(count: int) -> float:
        found = [pool(*effects(seed, spread, count)) for seed in range(20)]
        return float(np.mean([one.between_high**0.5 - one.between_low**0.5 for one in found]))

    assert width(10) > 1.3 * width(40) > 1.3**2 * width(160) > 0


def test_the_integral_is_the_one_done_by_general_quadrature() -> None:
    """Balanced groups, h = 1: the density of tau and sigma^2 as Gelman (2006) has it, by scipy."""
    rng = np.random.default_rng(12)
    y = rng.normal(0, 0.4, 6)[:, None] + rng.normal(0, 1, (6, 8))
    found = pool(list(y), [np.ones(8)] * 6, np.ones((6, 1)))
    means, within = y.mean(axis=1), ((y - y.mean(axis=1, keepdims=True)) ** 2).sum()
    scatter = ((means - means.mean()) ** 2).sum()

    def density(tau: float, log_sigma: float) -> float:
        sigma2 = np.exp(2 * log_sigma)
        variance = tau**2 + sigma2 / 8
        log = -42 * log_sigma - within / (2 * sigma2) - 2.5 * np.log(variance) - scatter / (2 * variance)
        return float(np.exp(log + 20))

    middle = 0.5 * np.log(within / 42)
    steps = np.linspace(middle - 0.6, middle + 0.6, 121)

    def over(low: float, high: float) -> float:
        return float(sum(quad(density, low, high, args=(step,), limit=200)[0] for step in steps))

    whole = over(0.0, 2.0) + over(2.0, 60.0)
    low, high = found.between_low**0.5, found.between_high**0.5
    assert over(low, high) / whole == pytest.approx(0.9, abs=0.01)
    assert found.between_low <= found.between <= found.between_high


def _covered(found: Pooled, own: Floats, tau: float) -> tuple[bool, float]:
    inside = np.abs(found.own_mean - own) <= 1.645 * found.own_sd
    return found.between_low <= tau**2 <= found.between_high, float(inside.mean())


def test_intervals_hold_what_they_say_over_rosters_that_differ_by_anything() -> None:
    """300 rosters of 20, tau uniform from 0 to 1.5, as the integral takes it: the 90 % intervals of tau and
    of each series' own effect hold the truth in 90 %, within what 300 rosters can tell (99 %)."""
    seen = []
    for seed in range(300):
        rng = np.random.default_rng([77, seed])
        tau = float(rng.uniform(0, 1.5))
        seen.append(_covered(*_roster(rng, tau, 20), tau))
    tau_held, own_held = np.array(seen, float).T
    low, high = beta.ppf([0.005, 0.995], tau_held.sum() + 0.5, 300 - tau_held.sum() + 0.5)
    assert low < 0.9 < high
    assert own_held.mean() == pytest.approx(0.9, abs=2.58 * own_held.std() / 300**0.5 + 0.005)


@pytest.mark.parametrize("tau", [0.0, 0.2, 1.0])
def test_own_effects_are_covered_whatever_tau_is_and_at_zero_too(tau: float) -> None:
    """120 rosters of 20 with one tau. Averaged over tau the intervals hold 90 %; at a single small one they
    may hold less, at least 80 %, and where nothing differs more. A plug-in of tau = 0 would hold none."""
    seen = []
    for seed in range(120):
        rng = np.random.default_rng([78, seed])
        seen.append(_covered(*_roster(rng, tau, 20), tau))
    tau_held, own_held = np.array(seen, float).T
    assert beta.ppf(0.995, tau_held.sum() + 0.5, 120 - tau_held.sum() + 0.5) > 0.8
    assert own_held.mean() + 2.58 * own_held.std() / 120**0.5 > (0.9 if tau == 0 else 0.85)


def _roster(rng: np.random.Generator, tau: float, count: int) -> tuple[Pooled, Floats]:
    """Return the fit of series with unequal rows, and their true effects 0.5 + u."""
    h: list[Floats] = [rng.normal(0, 1, n) for n in rng.integers(4, 25, count)]
    x = np.column_stack([np.ones(count), np.arange(count) % 2.0])
    u = rng.normal(0, tau, count)
    y = [
        a * (0.5 + 0.8 * arm + b) + rng.normal(0, 1.1, a.size)
        for a, b, arm in zip(h, u, x[:, 1], strict=True)
    ]
    return pool(y, h, x, counted=[1.0, 0.0]), 0.5 + u


def test_two_more_series_than_columns_bound_tau_and_one_more_reaches_the_end_of_the_grid() -> None:
    rng = np.random.default_rng(3)
    y = [rng.normal(0, 1, 8) for _ in range(3)]
    three, two = (pool(y[:n], [np.ones(8)] * n, np.ones((n, 1))) for n in (3, 2))
    assert 0 < three.between_high < two.between_high < 1e6 * two.residual * 1.5
    assert two.between_high > 1e4 * two.residual


def test_effects_with_known_errors_are_drawn_in_as_quadrature_says() -> None:
    """Three effects, integrated over tau by scipy."""
    values, errors = np.array([1.0, -0.4, 0.3]), np.array([0.5, 0.3, 0.2])

    def weighed(tau: float, place: int, power: int) -> float:
        variance = tau**2 + errors**2
        weight = np.exp(-0.5 * (np.log(variance) + values**2 / variance).sum())
        share = tau**2 / variance[place]
        mean, square = share * values[place], share * errors[place] ** 2
        return float(weight * (1.0, mean, square + mean**2)[power])

    def integral(place: int, power: int) -> float:
        ends = (0.0, 0.5, 2.0, 20.0, 200.0)
        return sum(quad(weighed, a, b, args=(place, power))[0] for a, b in pairwise(ends))

    mean, sd = shrink(values, errors)
    for place in range(3):
        whole, first, second = (integral(place, power) for power in range(3))
        assert mean[place] == pytest.approx(first / whole, abs=2e-3)
        assert sd[place] == pytest.approx((second / whole - (first / whole) ** 2) ** 0.5, rel=5e-3)


def test_too_few_or_all_alike_is_said() -> None:
    y, h, _ = effects(6, 0.5, count=4)
    with pytest.raises(TooFewError):
        pool(y, h, np.eye(4))
    with pytest.raises(TooFewError):
        pool(y, h, np.ones((4, 2)))
