"""What has to be known of a batch before the recursion: days, noise, readings, offsets and jumps.

The state goes round: residuals tell how each test is to be read, the readings make days, the days a line,
the line residuals. One round is one sweep.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tracker.engine.trend.covariates import Columns, columns_of, usual_precision
from tracker.engine.trend.grid import Days, Grid, collapse, days_of
from tracker.engine.trend.line_fit import Covariates, Knots, best_path, fit
from tracker.engine.trend.mixture import TYPING, Reading, read
from tracker.engine.trend.noise import first_guess, shrunk
from tracker.engine.trend.observations import Bools, Floats, Ints, Observations
from tracker.engine.trend.priors import Priors
from tracker.engine.trend.recursion import Forward
from tracker.engine.trend.rules import Rules

FAR = 6.0
"""A test this many noises off the line that is neither ordinary nor a slow day is set aside."""
TOO_FEW = 3
"""Tests of which none is set aside: each may as well be the one that is right."""
ROUGH_PIECE, MOST_PIECES = 6.0, 40
"""Months between the bends of the line that the first jumps are taken from; how many pieces at most."""
NEIGHBOURS = 7
"""Tests in the running medians that the first residuals are taken from."""


@dataclass(frozen=True)
class State:
    """A batch between sweeps; rows are (S, N), days (D, S).

    Attributes
    ----------
    y, base, used : levels around each series' `centre`, usual precisions in ordinary tests, what isn't
        padding.
    noise : (S,) of one ordinary test, percent.
    z, reading : residuals in noises and what they are taken for.
    weight, level : each day's precision in ordinary tests; its level, without offsets and jumps.
    start : (S,) expected first level.
    effect, effect_sd : (Q, S) offsets and jumps.
    squares, freedom : (S,) sum of squared residuals that `noise` comes from, and its degrees of freedom.
    path : the best knots so far; None before the first sweep.
    """

    days: Days
    columns: Columns
    priors: Priors
    rules: Rules
    y: Floats
    base: Floats
    used: Bools
    centre: Floats
    start: Floats
    noise: Floats
    z: Floats
    reading: Reading
    effect: Floats
    effect_sd: Floats
    weight: Floats
    level: Floats
    squares: Floats
    freedom: Floats
    path: Knots | None = None

    def set_aside(self) -> Bools:
        """Return the tests (S, N) that look mistyped; of `TOO_FEW` or fewer nobody can say which it is."""
        mistyped = self.used & (np.abs(self.z) > FAR) & (self.reading.share[TYPING] > 0.5)
        return np.asarray(mistyped & (self.used.sum(axis=1, keepdims=True) > TOO_FEW))


def prepare(observations: Observations, priors: Priors, rules: Rules) -> State:
    """Return the state before the first sweep: a rough line, prior means as offsets."""
    days, columns = days_of(observations), columns_of(observations, priors)
    used = np.arange(observations.t.shape[1]) < observations.count[:, None]
    series = len(observations)
    raw = np.where(used, observations.y - columns.shift(columns.mean), np.nan)
    centre = np.nanmedian(raw, axis=1)
    y = np.where(used, observations.y - centre[:, None], 0.0)
    base = np.where(used, usual_precision(observations, priors), 0.0)
    rough = rough_line(observations.t, np.where(used, raw - centre[:, None], 0.0), observations.count)
    start = np.nanmedian(np.where(used, raw - centre[:, None], np.nan)[:, :3], axis=1)
    nothing = read(np.zeros_like(y), priors)
    by_day_shape, nil = np.zeros_like(days.t), np.zeros(series)
    state = State(
        days, columns, priors, rules, y, base, used, centre, start, np.full(series, priors.noise),
        np.zeros_like(y), nothing, columns.mean, columns.sd, by_day_shape, by_day_shape, nil, nil,
    )  # fmt: skip
    state = by_day(state)
    noise = first_guess(days.t, state.level, state.weight, priors)
    z = np.where(used, (y - columns.shift(columns.mean) - rough) * np.sqrt(base), 0.0) / noise[:, None]
    state = by_day(replace(state, noise=noise, z=z, reading=read(z, priors)))
    return _jumped(state, observations.jumps) if observations.jumps.size else state


def _jumped(state: State, jumps: Floats) -> State:
    """Return the state with a first guess of the `jumps` (S, J), from a line that bends every few months.

    With none taken out the first path may bend at the jump itself, and later sweeps then find a part of it
    only. A guess that its own error could have made counts for little or nothing, as in Breiman's (1995,
    Technometrics 37:373) garrote: a jump that was not there must not bend the path either.
    """
    own = np.flatnonzero(np.isfinite(jumps).any(axis=1))
    level, covariates = _with_covariates(state)
    if own.size == 0 or covariates is None:
        return state
    t = state.days.t[:, own]
    last = t.max(axis=0)
    length = np.maximum(ROUGH_PIECE, last / MOST_PIECES)
    count = int(np.ceil((last / length).max() - 1e-9)) or 1
    edges = np.maximum(last - length * np.arange(count + 1)[:, None], 0.0)
    path = Knots(edges[1:], edges[:-1], np.zeros((count, own.size), np.int64))
    precision = state.weight / state.noise**2
    fitted = fit(
        t, level[:, own], precision[:, own], path, state.rules.of(own), state.start[own], covariates.of(own)
    )
    events = slice(state.columns.features, state.columns.features + jumps.shape[1])
    guess, sd = fitted.effect[events], fitted.effect_sd[events]
    effect = state.effect.copy()
    effect[events, own] = guess * np.maximum(1.0 - sd**2 / np.maximum(guess**2, 1e-12), 0.0)
    return by_day(replace(state, effect=effect))


def rough_line(t: Floats, y: Floats, count: Ints) -> Floats:
    """Return a first line (S, N): the median of seven neighbours, leaning as the medians of their ends do.

    Near the ends of the record the seven are the outermost ones, and the lean carries the median to the
    test; a straight line is met exactly. With fewer than seven tests it is their median.
    """
    series, width = y.shape
    row = np.arange(series)[:, None, None]
    first = np.clip(np.arange(width) - NEIGHBOURS // 2, 0, np.maximum(count - NEIGHBOURS, 0)[:, None])
    window = first[:, :, None] + np.arange(NEIGHBOURS)
    inside = window < count[:, None, None]
    window = np.minimum(window, width - 1)
    near = np.where(inside, y[row, window], np.inf)
    ordered = np.sort(near, axis=2)
    size = inside.sum(axis=2, keepdims=True)
    middle = np.take_along_axis(ordered, np.concatenate([(size - 1) // 2, size // 2], 2), 2)
    level = middle.mean(axis=2)
    if width < NEIGHBOURS:
        return np.asarray(level)
    when = t[row, window]
    before, after = _middle_of_three(near[:, :, :3]), _middle_of_three(near[:, :, -3:])
    time = when[:, :, -2] - when[:, :, 1]
    enough = (count >= NEIGHBOURS)[:, None] & (time > 0)
    with np.errstate(invalid="ignore"):
        lean = np.where(enough, (after - before) / np.where(enough, time, 1.0), 0.0)
    return np.asarray(np.where(enough, level + lean * (t - when[:, :, NEIGHBOURS // 2]), level))


def _middle_of_three(values: Floats) -> Floats:
    """Return the median over a last axis of three, many times faster than a general one."""
    a, b, c = values[..., 0], values[..., 1], values[..., 2]
    return np.asarray(np.maximum(np.minimum(a, b), np.minimum(np.maximum(a, b), c)))


def _precision(state: State) -> Floats:
    return np.where(state.used, state.base * state.reading.precision, 0.0)


def _lifted(state: State) -> Floats:
    """Return levels (S, N) with the part of them that is a slow day taken back."""
    scale = state.noise[:, None] / np.sqrt(np.maximum(state.base, 1e-12))
    return np.where(state.used, state.y + state.reading.lift * scale, 0.0)


def by_day(state: State) -> State:
    """Return the state with its days made of the rows as they are read now."""
    inverse = _precision(state)
    total = np.maximum(state.days.add(inverse), 1e-12)
    bare = _lifted(state) - state.columns.shift(state.effect)
    level = state.days.add(inverse * bare) / total
    return replace(state, weight=collapse(state.days, inverse, state.priors.day_share), level=level)


def swept(state: State, result: Forward, grid: Grid) -> State:
    """Return the state after a sweep: new line, effects, residuals, noise and readings."""
    path = best_path(result, grid)
    level, covariates = _with_covariates(state)
    fitted = fit(
        state.days.t, level, state.weight / state.noise**2, path, state.rules, state.start, covariates
    )
    known = state.days.spread(fitted.line) + state.columns.shift(fitted.effect)
    residual = np.where(state.used, (state.y - known) * np.sqrt(state.base), 0.0)
    reading = read(residual / state.noise[:, None], state.priors)
    squares = np.where(state.used, reading.square, 0.0).sum(axis=1) * state.noise**2
    freedom = state.used.sum(axis=1) - fitted.parameters
    noise = shrunk(squares, freedom, state.priors)
    z = residual / noise[:, None]
    return by_day(
        replace(
            state, noise=noise, z=z, reading=read(z, state.priors), effect=fitted.effect,
            effect_sd=fitted.effect_sd,
            squares=squares, freedom=freedom, path=path,
        )
    )  # fmt: skip


def _with_covariates(state: State) -> tuple[Floats, Covariates | None]:
    """Return the levels by day with offsets and jumps still in, and the columns that carry them."""
    columns, days = state.columns, state.days
    if not len(columns):
        return state.level, None
    inverse = _precision(state)
    total = np.maximum(days.add(inverse), 1e-12)
    lifted = _lifted(state)
    level = days.add(inverse * lifted) / total
    x = np.stack([days.add(inverse * column) / total for column in columns.x])
    within = np.stack([column - days.spread(mean) for column, mean in zip(columns.x, x, strict=True)])
    inner_weight = inverse / ((1.0 - state.priors.day_share) * state.noise[:, None] ** 2)
    weighted = within * inner_weight
    inner = np.einsum("psn,qsn->spq", weighted, within)
    inner_y = np.einsum("psn,sn->sp", weighted, lifted - days.spread(level))
    return level, Covariates(x, inner, inner_y, columns.mean, columns.sd)
