"""Rolling origin on real records: what is known at test k foretells the mean of the next ones."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.stats import t as student

from tests.validation.part import Part, Scale
from tests.validation.real_series import Record, in_swimmers_units, records
from tests.validation.table import Table
from tests.validation.tally import Floats, plus_minus, share, shown
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.forecast import SLOW_DAY_SQUARE, forecast
from tracker.engine.trend.learn import learn
from tracker.engine.trend.observations import observations_from_lists
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import BUILT_IN

AHEAD = 4
LAST = 8
"""Tests that the two simple forecasts look back on, or as many as there are."""
FIRST = 6
SHORTEST = 5
MOST = 400
"""Origins a set at most, evenly spread."""
Z90 = 1.6449
METHODS = ("slackwater", "last slope", "flat")


@dataclass(frozen=True)
class Forecasts:
    """Forecasts of O means: centre, scale, degrees of freedom (inf: normal), and what came."""

    centre: Floats
    scale: Floats
    freedom: Floats
    came: Floats

    def log_score(self) -> Floats:
        """Return log densities of what came; higher is better."""
        return np.asarray(
            student.logpdf((self.came - self.centre) / self.scale, self.freedom) - np.log(self.scale)
        )

    def held(self) -> np.ndarray:
        """Return whether the 90 % interval holds what came."""
        half = student.ppf(0.95, self.freedom) * self.scale
        return np.abs(self.came - self.centre) <= half


def simple(t: Floats, y: Floats, ahead: Floats, *, slope: bool) -> tuple[float, float, float]:
    """Return centre, scale, df of the mean of tests at `ahead` from least squares on `t`, `y`.

    With a slope: a line, told on to the mean date; without: the mean. Student's predictive distribution.
    """
    columns = np.column_stack([np.ones(t.size), t]) if slope else np.ones((t.size, 1))
    best = np.linalg.lstsq(columns, y, rcond=None)[0]
    freedom = t.size - columns.shape[1]
    variance = float(((y - columns @ best) ** 2).sum() / freedom)
    to = np.array([1.0, ahead.mean()])[: columns.shape[1]]
    spread = to @ np.linalg.inv(columns.T @ columns) @ to + 1.0 / ahead.size
    return float(to @ best), float(np.sqrt(max(variance * spread, 1e-12))), float(freedom)


def forecast_by_engine(answer: Answer, ahead: list[Floats]) -> tuple[Floats, Floats]:
    """Return mean and sd of the mean level of tests at `ahead[s]` months after each series' last test.

    The level from the forecast at their mean date; to it the noise of so many tests, slow days and
    correlated weeks included.
    """
    centre, scale = np.empty(len(ahead)), np.empty(len(ahead))
    middle = np.array([a.mean() for a in ahead])
    for start in range(0, middle.size, 64):
        rows = slice(start, start + 64)
        levels = forecast(answer, middle[rows], of_a_test=False)
        own = np.arange(*rows.indices(middle.size))
        column = np.arange(own.size)
        centre[rows] = levels.level[own, column]
        scale[rows] = (levels.high[own, column] - levels.low[own, column]) / (2 * Z90)
    decay = answer.priors.correlation_months
    for s, dates in enumerate(ahead):
        alike = np.exp(-np.abs(dates[:, None] - dates[None, :]) / decay).mean()
        c = float(answer.correlated[s])
        alone = (1 - c) / dates.size * (1 + answer.priors.slow_day * SLOW_DAY_SQUARE)
        scale[s] = np.sqrt(scale[s] ** 2 + answer.noise[s] ** 2 * (alone + c * alike))
    return centre, scale


def origins(own: list[Record], most: int) -> list[tuple[int, int]]:
    """Return (record, k): k tests seen, at least `AHEAD` to come; at most `most` of them."""
    first = FIRST if max(r.t.size for r in own) > 10 else SHORTEST
    every = [(i, k) for i, r in enumerate(own) for k in range(first, r.t.size - AHEAD + 1)]
    return [every[j] for j in np.unique(np.linspace(0, len(every) - 1, min(most, len(every))).astype(int))]


def backtest(own: list[Record], most: int) -> dict[str, Forecasts]:
    """Return what each method foretold at each origin.

    Priors are learned from the part before each record's first origin where there are 30 records, so that
    nothing foretold has been seen.
    """
    at = origins(own, most)
    first = {i: min(k for j, k in at if j == i) for i, _ in at}
    lists = [(own[i].t[:k], own[i].y[:k]) for i, k in first.items()]
    early = observations_from_lists([t for t, _ in lists], [y for _, y in lists])
    seen = observations_from_lists([own[i].t[:k] for i, k in at], [own[i].y[:k] for i, k in at])
    ahead = [own[i].t[k : k + AHEAD] - own[i].t[k - 1] for i, k in at]
    came = np.array([own[i].y[k : k + AHEAD].mean() for i, k in at])
    centre, scale = forecast_by_engine(analyse(seen, learn(early, BUILT_IN)), ahead)
    out = {"slackwater": Forecasts(centre, scale, np.full(came.size, np.inf), came)}
    for name in METHODS[1:]:
        cells = np.array([
            simple(own[i].t[max(k - LAST, 0) : k], own[i].y[max(k - LAST, 0) : k],
                   own[i].t[k : k + AHEAD], slope=name == "last slope")
            for i, k in at
        ])  # fmt: skip
        out[name] = Forecasts(cells[:, 0], cells[:, 1], cells[:, 2], came)
    return out


def run(scale: Scale) -> Part:
    """Forecast every record from each of its tests on."""
    rows = []
    for name, own in records().items():
        first = origins(own, 10**6)[0][1]
        units = {"as it stands": own, "a swimmer's": in_swimmers_units(own, first)}
        for unit, scaled in units.items():
            rows += _rows(name, unit, scaled, scale.of(MOST, 20))
    table = Table(
        "backtest",
        "Real records, rolling origin: the mean of the next four tests",
        f"From test {FIRST} on ({SHORTEST} for the shortest set), at most {MOST} origins a set. "
        "Last slope, flat: "
        f"least squares on the last {LAST} tests with Student's predictive distribution. "
        "slackwater: the user's "
        "forecast with the noise of four tests; priors built in below 30 records, else learned "
        "from what lies "
        "before the first origin. Units: as it stands (real months, percent), or one factor a set "
        "for time and one "
        "for level, so that tests are a week apart and noise is 1.2 % (from what lies before the "
        "first origin): "
        "the priors are about swimmers. Log score: mean log density, higher is better; compare "
        "within a set and "
        "unit. ± over individuals. Coverage counts origins as independent, so its ± is too small.",
        ("records", "units", "forecast", "individuals", "origins", "log score", "slackwater better by",
         "90 % interval holds", "mean error, %"),
        tuple(rows),
    )  # fmt: skip
    return Part((table,))


def _rows(name: str, unit: str, own: list[Record], most: int) -> list[tuple[str, ...]]:
    owner = np.array([i for i, _ in origins(own, most)])
    found = backtest(own, most)
    base = found[METHODS[0]].log_score()
    rows: list[tuple[str, ...]] = []
    for method, told in found.items():
        score, miss = told.log_score(), np.abs(told.came - told.centre)
        better = "" if method == METHODS[0] else _mean(base - score, owner)
        rows.append((name, unit, method, str(len(set(owner))), str(owner.size), _mean(score, owner), better,
                     shown(share(told.held()), 2), _mean(miss, owner)))  # fmt: skip
    return rows


def _mean(values: Floats, owner: np.ndarray) -> str:
    return plus_minus(float(values.mean()), _by_record(values, owner), 2)


def _by_record(values: Floats, owner: np.ndarray) -> float:
    """Return the standard error of the mean with records as clusters."""
    names = np.unique(owner)
    if names.size < 2:
        return float(values.std(ddof=1) / np.sqrt(values.size))
    sums = np.array([(values[owner == i] - values.mean()).sum() for i in names])
    return float(np.sqrt((sums**2).sum() * names.size / (names.size - 1)) / values.size)
