"""The one-dimensional mixed model is the general one: same estimates, faster, and no giving up."""

from __future__ import annotations

import numpy as np
import pytest

from tracker.engine.trend.observations import Floats
from tracker.engine.trend.pooling import pool
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


def test_units_of_the_rows_carry_through() -> None:
    y, h, x = effects(5, 0.7)
    small, large = pool(y, h, x), pool([10 * one for one in y], h, x)
    assert large.b == pytest.approx(10 * small.b, rel=1e-5)
    assert large.between == pytest.approx(100 * small.between, rel=1e-4)


def test_too_few_or_all_alike_is_said() -> None:
    y, h, _ = effects(6, 0.5, count=4)
    with pytest.raises(TooFewError):
        pool(y, h, np.eye(4))
    with pytest.raises(TooFewError):
        pool(y, h, np.ones((4, 2)))
