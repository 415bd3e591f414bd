"""The result of the segmentation: its fields, and the posterior of the present segment."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.grid import cells
from tracker.engine.trend.mixture import classes, normal_cdf
from tracker.engine.trend.observations import Bools, Floats, Ints
from tracker.engine.trend.priors import Priors
from tracker.model.units import DAYS_PER_MONTH


@dataclass(frozen=True)
class Stretch:
    """A span in which the rate was inside the band. Times in months; `*_low`/`*_high` are 90 % intervals.

    `start_low` is None where the stretch may well have begun before the record did.
    `current` says that it lasts to the last test.
    """

    start: float
    end: float
    start_low: float | None
    start_high: float
    end_low: float
    end_high: float
    current: bool


@dataclass(frozen=True)
class Line:
    """The fitted level over the knots of the grid, on the scale of each series' commonest kind of test.

    `time`, `level`, `sd` are (S, G) (padded by repetition); straight lines between them are exact up to the
    mixing. `inside` (S, G - 1) is the probability that the rate in the interval that begins at a knot is
    inside the band.
    """

    time: Floats
    level: Floats
    sd: Floats
    inside: Floats


@dataclass(frozen=True)
class Looks:
    """What was known of the rate then at L dates of each of S series, from the tests before; months.

    `time` (S, L) ascending, the last one being the last test, with all tests known; `p` (S, L, 3) and
    `slower` (S, L) as `Answer.p` and `Answer.p_slowed`. Readings of single tests, offsets and the noise's
    middle are those of the whole record. `valid` (S, L) is False in the padding, which stands at the start.
    """

    time: Floats
    p: Floats
    slower: Floats
    valid: Bools


@dataclass(frozen=True)
class Answer:
    """Posterior of a batch of S series with N rows. Classes are in the order gaining, flat, slipping.

    Attributes
    ----------
    band : (S,) half-width of flat, percent per month.
    p : (S, 3) probability that the present rate is above, inside, below the band; sums to 1.
    p_slowed : (S,) probability that the present rate is lower than that of the segment before.
    rate : (S, 3) 5, 50 and 95 % points of the present rate, percent per month.
    month_ago : (S, 3) `p` of the rate `MONTH` before the last test, from all tests up to it.
    looks : what was known at the knots on the way.
    today : (S, 5) level at the last test (percent, on the scale of `reference`), present rate, their
        variances and covariance: the moments of the whole posterior.
    labels : (S, 3, 3) by label of the present segment: its probability, mean and variance of its rate.
    onset : (S, 3, 3) by class, 5, 50, 95 % points of when the present segment began, months.
    knots : (S, Q) times of the changes of the single best line, ascending, NaN padding: for second opinions
        and drawings, not for inference.
    before_record : (S, 3) by class, probability that it began before the first test.
    noise : (S,) standard deviation of one ordinary test, percent.
    z : (S, N) residual of each test in noises (0 in the padding); ordinary : (S, N) probability that it is
        ordinary.
    set_aside : (S, N) tests whose weight is all but gone: neither ordinary nor a slow day.
    offset, offset_sd : (S, P) effect of each feature in this series, percent.
    jump, jump_sd : (S, J) how far the level jumped at each dated event, percent.
    reference : (S,) the commonest kind of test, on whose scale the line stands.
    alias : (S, P) by how much the leading class's probability differs between offsets within reason of a
        feature that was switched for good; 0 where none was. From `covariates.HIDDEN` on the change
        cannot be separated from the switch.
    correlated : (S,) posterior share of variance that neighbouring weeks have in common.
    evidence : (S,) log marginal likelihood.
    stretches : per series, in time order; empty tuples when not asked for.
    line : None when not asked for.
    """

    band: Floats
    p: Floats
    p_slowed: Floats
    rate: Floats
    month_ago: Floats
    looks: Looks
    today: Floats
    labels: Floats
    onset: Floats
    knots: Floats
    before_record: Floats
    noise: Floats
    z: Floats
    ordinary: Floats
    set_aside: Bools
    offset: Floats
    offset_sd: Floats
    jump: Floats
    jump_sd: Floats
    reference: Ints
    alias: Floats
    correlated: Floats
    evidence: Floats
    priors: Priors
    stretches: tuple[tuple[Stretch, ...], ...] = ()
    line: Line | None = None

    def __len__(self) -> int:
        return int(self.p.shape[0])

    @property
    def p_gaining(self) -> Floats:
        """(S,) probability that the present rate is above the band."""
        return self.p[:, 0]

    @property
    def p_flat(self) -> Floats:
        """(S,) probability that the present rate is inside the band."""
        return self.p[:, 1]

    @property
    def p_slipping(self) -> Floats:
        """(S,) probability that the present rate is below the band."""
        return self.p[:, 2]


MONTH = 30 / DAYS_PER_MONTH
"""How long before the last test "a month ago" is, months."""
POINTS = (0.05, 0.5, 0.95)
HALVINGS = 8
"""Of brackets some five standard deviations wide: to a chord that is off by less than a thousandth of one."""
NEGLIGIBLE = 3e-6
"""Weight below which a component is left out."""


@dataclass(frozen=True)
class Ends:
    """Every way the series may end: (C, S) components, last segments by hypothesis, label and first knot.

    `weight` sums to 1 over C; `slope`, `variance` of the present rate; `slower` the probability that it is
    lower than the one before, `earlier`, `earlier_variance` of that one; `level`, `level_variance`, `cross`
    of the level at the end and its covariance with the rate; `time` (G + 1, S) of the knots and the end: C is
    a multiple of G.
    """

    weight: Floats
    slope: Floats
    variance: Floats
    slower: Floats
    earlier: Floats
    earlier_variance: Floats
    level: Floats
    level_variance: Floats
    cross: Floats
    time: Floats


@dataclass(frozen=True)
class Present:
    """The present: `p` (S, 3), `rate` (S, 3), `onset` (S, 3, 3), `before_record` (S, 3), `slowed` (S,).

    `month_ago` (S, 3) is `p` a month before.

    `today` (S, 5): level at the last test, rate, their variances, their covariance. `labels` (S, 3, 3) by
    label: weight, mean and variance of the present rate.
    """

    p: Floats
    month_ago: Floats
    rate: Floats
    onset: Floats
    before_record: Floats
    slowed: Floats
    today: Floats
    labels: Floats


def within(slope: Floats, sd: Floats, band: Floats) -> Floats:
    """Return the probability that a normal slope lies inside the band, in the precision of what is given."""
    return np.maximum(normal_cdf((band - slope) / sd) - normal_cdf((-band - slope) / sd), 0.0)


def present(ends: Ends, band: Floats) -> Present:
    """Sum up the components of each series."""
    sd = np.sqrt(ends.variance)
    share = ends.weight * classes(ends.slope, sd, band)
    p = share.sum(axis=1)
    size, series = ends.time.shape[0] - 1, ends.time.shape[1]
    onset, first = onsets(share.reshape(3, -1, size, series).sum(axis=1), ends.time)
    slowed = (ends.weight * ends.slower).sum(axis=0)
    return Present(
        p.T / p.sum(axis=0)[:, None],
        _month_ago(ends, share, band),
        _rates(ends, sd),
        onset,
        first,
        slowed,
        _today(ends),
        _labels(ends),
    )


def onsets(began: Floats, time: Floats) -> tuple[Floats, Floats]:
    """Return by class when the present segment began (S, 3, 3), and how likely before the record (S, 3).

    `began` (3, G, S) are the probabilities of the classes by first knot, `time` (G + 1, S) the knots.
    """
    size = began.shape[1]
    low, high = cells(time)
    onset = np.stack([quantiles(began[label], low[:size], high[:size]) for label in range(3)])
    first = began[:, 0] / np.maximum(began.sum(axis=1), 1e-300)
    return onset.transpose(2, 0, 1), first.T


def _month_ago(ends: Ends, share: Floats, band: Floats) -> Floats:
    """Return the classes (S, 3) a month before the end; `share` (3, C, S) are the present ones' parts.

    Where the present segment is younger the one before it counts, as if it reached back so far.
    """
    size = ends.time.shape[0] - 1
    young = ends.time[:-1] > ends.time[-1] - MONTH
    young = np.tile(young, (ends.weight.shape[0] // size, 1))
    out = np.where(young, 0.0, share).sum(axis=1)
    parts, series = np.nonzero(young & (ends.weight > NEGLIGIBLE))
    sd = np.sqrt(np.maximum(ends.earlier_variance[parts, series], 1e-12))
    found = ends.weight[parts, series] * classes(ends.earlier[parts, series], sd, band[series])
    for label in range(3):
        out[label] += np.bincount(series, found[label], band.size)
    return np.asarray(out.T / out.sum(axis=0)[:, None])


def _today(ends: Ends) -> Floats:
    level, rate = (ends.weight * ends.level).sum(axis=0), (ends.weight * ends.slope).sum(axis=0)
    off, away = ends.level - level, ends.slope - rate
    return np.stack(
        [
            level,
            rate,
            (ends.weight * (ends.level_variance + off * off)).sum(axis=0),
            (ends.weight * (ends.variance + away * away)).sum(axis=0),
            (ends.weight * (ends.cross + off * away)).sum(axis=0),
        ],
        axis=1,
    )


def _labels(ends: Ends) -> Floats:
    size, series = ends.time.shape[0] - 1, ends.time.shape[1]
    weight, slope, variance = (
        part.reshape(-1, 3, size, series) for part in (ends.weight, ends.slope, ends.variance)
    )
    total = weight.sum(axis=(0, 2))
    share = weight / np.maximum(total, 1e-300)[:, None]
    mean = (share * slope).sum(axis=(0, 2))
    away = slope - mean[:, None]
    spread = (share * (variance + away * away)).sum(axis=(0, 2))
    return np.stack([total, mean, np.maximum(spread, 1e-9)], axis=-1).transpose(1, 0, 2)


def quantiles(mass: Floats, low: Floats, high: Floats) -> Floats:
    """Return the 5, 50, 95 % points (3, S) of masses (G, S) spread evenly over cells from `low` to `high`."""
    total = np.cumsum(mass, axis=0)
    column = np.arange(mass.shape[1])
    out = np.empty((len(POINTS), mass.shape[1]))
    for i, point in enumerate(POINTS):
        aim = point * total[-1]
        row = np.minimum((total < aim).sum(axis=0), mass.shape[0] - 1)
        inside = mass[row, column]
        part = np.clip(1.0 - (total[row, column] - aim) / np.maximum(inside, 1e-300), 0.0, 1.0)
        out[i] = low[row, column] + part * (high[row, column] - low[row, column])
    return out


def _rates(ends: Ends, sd: Floats) -> Floats:
    """Return the 5, 50 and 95 % points (S, 3) of the mixture of normals: brackets halved, then a chord."""
    mean = (ends.weight * ends.slope).sum(axis=0)
    spread = np.sqrt((ends.weight * (sd**2 + (ends.slope - mean) ** 2)).sum(axis=0))
    point = np.array(POINTS)[:, None]
    aim = point * ends.weight.sum(axis=0)
    # single precision around the mean: a hundred-thousandth of a standard deviation, in half the time
    scale = (1.0 / sd).astype(np.float32)
    centre = ((ends.slope - mean) / sd).astype(np.float32)
    weight = ends.weight.astype(np.float32)

    def reached(x: Floats) -> Floats:
        away = (x - mean).astype(np.float32)
        parts = [(weight * normal_cdf(one * scale - centre)).sum(axis=0, dtype=np.float64) for one in away]
        return np.stack(parts)

    # a p point lies within sqrt((1 - p) / p) standard deviations of the mean (Cantelli 1928)
    low = mean - spread * np.sqrt((1.0 - point) / point) - 1e-9
    high = mean + spread * np.sqrt(point / (1.0 - point)) + 1e-9
    below, above = np.zeros_like(low), np.broadcast_to(aim / point, low.shape)
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        here = reached(middle)
        under = here < aim
        low, below = np.where(under, middle, low), np.where(under, here, below)
        high, above = np.where(under, high, middle), np.where(under, above, here)
    part = (aim - below) / np.maximum(above - below, 1e-12)
    return np.asarray((low + np.clip(part, 0.0, 1.0) * (high - low)).T)
