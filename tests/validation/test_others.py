"""Other forecasts and other methods: right on lines, and scored by densities that are densities."""

from __future__ import annotations

from importlib.util import find_spec

import numpy as np
import pytest
from scipy.stats import norm

from tests.validation.backtest import AHEAD, Forecasts, backtest, origins, simple
from tests.validation.other_ways import WAYS, WEEK, Piece, Said, line
from tests.validation.real_series import Record, in_swimmers_units
from tracker.model.units import DAYS_PER_MONTH

T = np.arange(40) * 7 / DAYS_PER_MONTH


def test_a_line_told_on_is_the_line() -> None:
    centre, scale, freedom = simple(T[:8], 2 + 3 * T[:8], T[8:12], slope=True)
    assert centre == pytest.approx(2 + 3 * T[8:12].mean())
    assert scale < 1e-3
    assert freedom == 6


def test_a_flat_forecast_is_the_mean_with_its_error() -> None:
    y = np.array([1.0, 2.0, 3.0, 4.0])
    centre, scale, freedom = simple(T[:4], y, T[4:8], slope=False)
    assert (centre, freedom) == (2.5, 3)
    assert scale == pytest.approx(y.std(ddof=1) * np.sqrt(1 / 4 + 1 / 4))


def test_the_predictive_interval_holds_nine_of_ten() -> None:
    rng = np.random.default_rng(1)
    cells, came = [], []
    for _ in range(800):
        y = 1 + 0.5 * T[:12] + rng.normal(size=12)
        cells.append(simple(T[:8], y[:8], T[8:12], slope=True))
        came.append(y[8:12].mean())
    centre, scale, freedom = np.array(cells).T
    told = Forecasts(centre, scale, freedom, np.array(came))
    assert told.held().mean() == pytest.approx(0.90, abs=0.03)


def test_a_log_score_is_the_log_of_the_density() -> None:
    told = Forecasts(np.array([1.0]), np.array([2.0]), np.array([np.inf]), np.array([2.5]))
    assert told.log_score()[0] == pytest.approx(norm.logpdf(2.5, 1.0, 2.0))
    assert told.held()[0]


def test_origins_leave_four_tests_to_come() -> None:
    own = [Record(T[:12], T[:12]), Record(T[:15], T[:15])]
    assert origins(own, 1000) == [*((0, k) for k in range(6, 9)), *((1, k) for k in range(6, 12))]
    assert len(origins(own, 4)) == 4
    assert AHEAD == 4


def test_the_engine_foretells_a_steady_swimmer() -> None:
    rng = np.random.default_rng(2)
    own = [Record(T[:30], 0.6 * T[:30] + rng.normal(0, 1.2, 30)) for _ in range(6)]
    found = backtest(own, 120)
    assert found["slackwater"].held().mean() > 0.8
    assert found["slackwater"].log_score().mean() > found["last slope"].log_score().mean()
    assert all(told.came.size == 120 for told in found.values())


def test_units_of_a_swimmer_are_a_week_and_a_usual_noise() -> None:
    rng = np.random.default_rng(3)
    own = [Record(np.arange(40) * 5.0, 7.0 * np.arange(40) + rng.normal(0, 30, 40)) for _ in range(30)]
    scaled = in_swimmers_units(own, 40)
    assert np.diff(scaled[0].t) == pytest.approx(7 / DAYS_PER_MONTH)
    left = np.concatenate([r.y - np.polyval(np.polyfit(r.t, r.y, 1), r.t) for r in scaled])
    assert left.std() == pytest.approx(1.2, rel=0.1)


def test_a_slope_and_its_error_are_those_of_least_squares() -> None:
    y = 1 + 0.5 * T + np.sin(np.arange(40))
    slope, error, freedom = line(T, y)
    fit, covariance = np.polyfit(T, y, 1, cov="unscaled")
    rest = ((y - np.polyval(fit, T)) ** 2).sum() / 38
    assert (slope, error, freedom) == pytest.approx((fit[0], np.sqrt(rest * covariance[0, 0]), 38))
    assert np.isnan(line(T[:3], y[:3])[0])


def test_a_flat_stretch_is_a_run_of_calm_pieces_of_six_weeks() -> None:
    edges = np.array([0, 4, 8, 12, 17, 30]) * WEEK
    slopes = (0.2, -0.2, 1.0, 0.1, -0.9)
    said = Said((0.25, 0.5, 0.25), tuple(map(Piece, edges[:-1], edges[1:], slopes)))
    assert said.flat(0.25) == (Piece(0.0, 8 * WEEK, 0.0),)
    assert said.flat(0.9) == (Piece(0.0, 8 * WEEK, 0.0), Piece(12 * WEEK, 30 * WEEK, 0.0))
    assert said.flat(0.05) == ()


@pytest.mark.parametrize("way", WAYS)
def test_every_way_tells_a_plain_gainer_from_a_plain_plateau(way: str) -> None:
    package, how = WAYS[way]
    if find_spec(package) is None:
        pytest.skip(f"{package} belongs to the extra `study`")
    noise = np.random.default_rng(4).normal(0, 0.3, (6, 40))
    assert np.mean([how(T, 2.0 * T + row).p_flat for row in noise]) < 0.1
    assert np.mean([how(T, row).p_flat for row in noise]) > 0.5
    gains, stays = how(T, 2.0 * T + noise[0]), how(T, noise[0])
    assert not gains.flat(0.5)
    if stays.pieces:
        assert sum(one.end - one.start for one in stays.flat(0.5)) == pytest.approx(T[-1], rel=0.05)
