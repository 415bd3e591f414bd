"""The whole way from a batch of series to its posterior: read tests, run the recursion, sum up.

Two or three sweeps on a coarse grid settle which tests are ordinary, how noisy the series is and what its
offsets are; the last run, on a finer grid, is done under every hypothesis about correlated weeks and
averaged.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields

import numpy as np

from tracker.trend.answer import Answer
from tracker.trend.ends import gather
from tracker.trend.grid import Grid, knots, running_sums
from tracker.trend.mixture import ORDINARY
from tracker.trend.observations import Floats, Ints, Observations
from tracker.trend.posterior import present
from tracker.trend.prepare import State, prepare, swept
from tracker.trend.priors import Priors
from tracker.trend.recursion import Forward, forward, rules_of
from tracker.trend.whiten import whitened

BATCH = 256


@dataclass(frozen=True)
class Effort:
    """How finely to compute: knots in the sweeps and in the last run, and the number of sweeps."""

    coarse: int = 24
    fine: int = 40
    sweeps: int = 2


def analyse(
    observations: Observations,
    priors: Priors,
    *,
    band: Floats | float | None = None,
    effort: Effort | None = None,
) -> Answer:
    """Return the posterior of every series.

    Parameters
    ----------
    observations : S series; see `tracker.trend.observations`.
    band : half-width of "flat" in percent per month, one for all or (S,); default: the priors'.
    effort : grid and sweeps.
    """
    size = len(observations)
    bands = np.broadcast_to(np.asarray(priors.band if band is None else band, float), (size,))
    order = np.argsort(observations.count, kind="stable")
    parts = [
        _analyse_batch(observations.take(rows), priors, bands[rows], effort or Effort())
        for rows in _batches(order)
    ]
    return _joined(parts, np.argsort(order, kind="stable"), observations.t.shape[1])


def _batches(order: Ints) -> Iterator[Ints]:
    for first in range(0, order.size, BATCH):
        yield order[first : first + BATCH]


def run(state: State, grid: Grid, share: float, scale: float = 1.0) -> Forward:
    """Run the recursion given what is known of tests, noise and offsets, at one share of correlated variance."""
    noise2 = (state.noise * scale) ** 2
    white = state.weight / ((1.0 - share) * noise2)
    columns = whitened(state.days.t, state.level, white, share * noise2, state.priors.correlation_months)
    sums = running_sums(grid, columns, state.days.count)
    return forward(sums, grid, state.rules, state.start)


def _analyse_batch(observations: Observations, priors: Priors, band: Floats, effort: Effort) -> Answer:
    state = prepare(observations, priors, rules_of(priors, band))
    coarse = knots(state.days, effort.coarse, priors.min_last)
    likely = float(np.dot(priors.correlated, priors.correlated_weight))
    for _ in range(effort.sweeps):
        state = swept(state, run(state, coarse, likely), coarse)
    fine = knots(state.days, effort.fine, priors.min_last)
    runs = [run(state, fine, share) for share in priors.correlated]
    ends, evidence, chance = gather(runs, fine, np.log(priors.correlated_weight))
    now = present(ends, band)
    features = state.columns.features
    return Answer(
        band=band,
        p=now.p,
        p_slowed=now.slowed,
        rate=now.rate,
        onset=now.onset + observations.t[:, :1, None],
        before_record=now.before_record,
        noise=state.noise,
        z=state.z,
        ordinary=np.where(state.used, state.reading.share[ORDINARY], 0.0),
        set_aside=state.set_aside(),
        offset=state.effect[:features].T,
        offset_sd=state.effect_sd[:features].T,
        reference=state.columns.reference,
        alias=np.zeros((len(observations), features)),
        correlated=np.asarray(priors.correlated) @ chance,
        evidence=evidence,
        priors=priors,
    )


def _joined(parts: list[Answer], back: Ints, width: int) -> Answer:
    """Put batches of different widths together again, in the order they came."""
    values: dict[str, object] = {}
    for name in (f.name for f in fields(Answer)):
        pieces = [getattr(part, name) for part in parts]
        if not isinstance(pieces[0], np.ndarray):
            values[name] = pieces[0]
            continue
        if name in {"z", "ordinary", "set_aside"}:
            pieces = [np.pad(p, ((0, 0), (0, width - p.shape[1]))) for p in pieces]
        values[name] = np.concatenate(pieces)[back]
    return Answer(**values)  # type: ignore[arg-type]
