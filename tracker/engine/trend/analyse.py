"""Analyse batches of series: from arrays of tests to answers, one swimmer being a batch of one.

Two or three sweeps on a coarse grid settle which tests are ordinary, how noisy the series is and what its
offsets are; the last run, on a finer grid, is done under every hypothesis about correlated weeks and
averaged.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields

import numpy as np

from tracker.engine.trend.covariates import separated
from tracker.engine.trend.grid import Grid, Sums, knots, running_sums
from tracker.engine.trend.mixture import ORDINARY
from tracker.engine.trend.noise import whitened
from tracker.engine.trend.observations import Floats, Ints, Observations
from tracker.engine.trend.posterior import Answer, Line, Stretch, present
from tracker.engine.trend.prepare import State, prepare, swept
from tracker.engine.trend.priors import Priors
from tracker.engine.trend.recursion import Forward, forward, rules_of
from tracker.engine.trend.reliability import joined, parted, repeated
from tracker.engine.trend.smoothing import smooth
from tracker.engine.trend.stretches import (
    chosen,
    combine_runs,
    line_of,
    probability_inside,
    stretches_of,
)

BATCH = 256


@dataclass(frozen=True)
class Effort:
    """How finely to compute: knots in the sweeps, in the last run, in it with the past; number of sweeps."""

    coarse: int = 20
    fine: int = 30
    past: int = 80
    sweeps: int = 2


def batches(order: Ints) -> Iterator[Ints]:
    """Cut series numbers into batches small enough for the processor's cache."""
    for first in range(0, order.size, BATCH):
        yield order[first : first + BATCH]


def in_batches(
    observations: Observations,
    priors: Priors,
    band: Floats,
    *,
    past: bool = False,
    effort: Effort | None = None,
) -> Answer:
    """Return the posterior of all series, given the offsets found along with the line."""
    order = np.argsort(observations.count, kind="stable")
    parts = [
        _analysed(observations.take(rows), priors, band[rows], past=past, effort=effort or Effort())
        for rows in batches(order)
    ]
    return _joined(parts, np.argsort(order, kind="stable"), observations.t.shape[1])


@dataclass(frozen=True)
class Run:
    """One forward pass and what it was run on."""

    sums: Sums
    grid: Grid
    forward: Forward


def run(state: State, grid: Grid, share: float, *, path: bool = False) -> Run:
    """Run the recursion given the state of the tests, at one share of correlated variance."""
    sums = sums_at(state, grid, share)
    return Run(sums, grid, forward(sums, grid, state.rules, state.start, path=path))


def run_each(state: State, grid: Grid, shares: Sequence[float]) -> list[Run]:
    """Run it at several shares in one pass, for calls are what a single swimmer's run consists of."""
    sums, times = [sums_at(state, grid, share) for share in shares], len(shares)
    wide, rules = repeated(grid, state.rules, times)
    whole = forward(joined(sums), wide, rules, np.tile(state.start, times))
    return [Run(one, grid, own) for one, own in zip(sums, parted(whole, times), strict=True)]


def sums_at(state: State, grid: Grid, share: float) -> Sums:
    """Return the whitened sums between the knots at one share of correlated variance."""
    noise2 = state.noise**2
    white = state.weight / ((1.0 - share) * noise2)
    columns = whitened(state.days.t, state.level, white, share * noise2, state.priors.correlation_months)
    return running_sums(grid, columns, state.days.count)


def settle(observations: Observations, priors: Priors, band: Floats, effort: Effort) -> State:
    """Return the state of a batch after all sweeps."""
    state = prepare(observations, priors, rules_of(priors, band))
    coarse = knots(state.days, effort.coarse, priors.min_last)
    likely = float(np.dot(priors.correlated, priors.correlated_weight))
    for _ in range(effort.sweeps):
        state = swept(state, run(state, coarse, likely, path=True).forward, coarse)
    return state


def _analysed(
    observations: Observations, priors: Priors, band: Floats, *, past: bool, effort: Effort
) -> Answer:
    state = settle(observations, priors, band, effort)
    fine = knots(state.days, effort.past if past else effort.fine, priors.min_last)
    runs = run_each(state, fine, priors.correlated)
    ends, evidence, chance = combine_runs([r.forward for r in runs], fine, np.log(priors.correlated_weight))
    now = present(ends, band)
    origin = observations.t[:, 0]
    flat: tuple[tuple[Stretch, ...], ...] = ()
    line = None
    if past:
        # the past goes by the likelier hypothesis: averaging would double the cost and change little
        likelier = chance.argmax(axis=0)
        sums = chosen([r.sums for r in runs], likelier)
        whole = smooth(sums, fine, state.rules, chosen([r.forward for r in runs], likelier), band)
        inside = probability_inside(whole)
        flat = stretches_of(whole, fine, inside, origin)
        line = line_of(whole, fine, inside, origin, state.centre)
    features = state.columns.features
    return Answer(
        band=band,
        p=now.p,
        p_slowed=now.slowed,
        rate=now.rate,
        today=now.today + np.stack([state.centre, *([np.zeros_like(band)] * 4)], axis=1),
        labels=now.labels,
        onset=now.onset + origin[:, None, None],
        knots=_knots(state) + origin[:, None],
        before_record=now.before_record,
        noise=state.noise,
        z=state.z,
        ordinary=np.where(state.used, state.reading.share[ORDINARY], 0.0),
        set_aside=state.set_aside(),
        offset=state.effect[:features].T,
        offset_sd=state.effect_sd[:features].T,
        jump=state.effect[features : features + observations.jumps.shape[1]].T,
        reference=state.columns.reference,
        alias=np.zeros((len(observations), features)),
        correlated=np.asarray(priors.correlated) @ chance,
        evidence=evidence,
        priors=priors,
        stretches=flat,
        line=line,
    )


def _knots(state: State) -> Floats:
    if state.path is None:
        return np.full((state.start.size, 0), np.nan)
    inner = (state.path.label >= 0) & (state.path.start > 0)
    return np.sort(np.where(inner, state.path.start, np.nan), axis=0).T


def _joined(parts: list[Answer], back: Ints, width: int) -> Answer:
    """Put batches of different widths together again, in the order they came."""
    values: dict[str, object] = {}
    for name in (f.name for f in fields(Answer)):
        pieces = [getattr(part, name) for part in parts]
        if isinstance(pieces[0], np.ndarray):
            if name in {"z", "ordinary", "set_aside"}:
                pieces = [np.pad(p, ((0, 0), (0, width - p.shape[1]))) for p in pieces]
            if name == "knots":
                most = max(p.shape[1] for p in pieces)
                pieces = [np.pad(p, ((0, 0), (0, most - p.shape[1])), constant_values=np.nan) for p in pieces]
            values[name] = np.concatenate(pieces)[back]
        else:
            values[name] = pieces[0]
    if parts[0].line is not None:
        together = [stretch for part in parts for stretch in part.stretches]
        values["stretches"] = tuple(together[i] for i in back)
        values["line"] = _joined_lines([part.line for part in parts if part.line is not None], back)
    return Answer(**values)  # type: ignore[arg-type]


def _joined_lines(lines: list[Line], back: Ints) -> Line:
    width = max(line.inside.shape[1] for line in lines)
    pieces = []
    for name in (f.name for f in fields(Line)):
        size = width + (name != "inside")
        arrays = [getattr(line, name) for line in lines]
        padded = [np.pad(a, ((0, 0), (0, size - a.shape[1])), mode="edge") for a in arrays]
        pieces.append(np.concatenate(padded)[back])
    return Line(*pieces)


def analyse(
    observations: Observations,
    priors: Priors,
    *,
    band: Floats | float | None = None,
    past: bool = False,
    effort: Effort | None = None,
) -> Answer:
    """Return the posterior of every series.

    Parameters
    ----------
    observations : S series; see `tracker.engine.trend.observations`.
    priors : built in or learned.
    band : half-width of "flat" in percent per month, one for all or (S,); default: the priors'.
    past : also find the flat stretches and the fitted line, on a finer grid.
    effort : grid and sweeps.
    """
    size = len(observations)
    bands = np.broadcast_to(np.asarray(priors.band if band is None else band, float), (size,))
    answer = in_batches(observations, priors, bands, past=past, effort=effort)
    if not observations.features:
        return answer
    return separated(
        observations, answer, lambda some, rows: in_batches(some, priors, bands[rows], effort=effort)
    )
