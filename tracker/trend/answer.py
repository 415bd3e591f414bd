"""What the trend says about a batch of series."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.trend.observations import Bools, Floats, Ints
from tracker.trend.priors import Priors


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
class Answer:
    """Posterior of a batch of S series with N rows. Classes are in the order gaining, flat, slipping.

    Attributes
    ----------
    band : (S,) half-width of flat, percent per month.
    p : (S, 3) probability that the present rate is above, inside, below the band; sums to 1.
    p_slowed : (S,) probability that the present rate is lower than that of the segment before.
    rate : (S, 3) 5, 50 and 95 % points of the present rate, percent per month.
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
    jump : (S, J) how far the level jumped at each dated event, percent.
    reference : (S,) the commonest kind of test, on whose scale the line stands.
    alias : (S, P) how far the leading class' probability falls when the offset of a feature that was
        switched near the onset moves within reason; 0 where none was. From `tracker.trend.alias.HIDDEN` on
        the change cannot be separated from the switch.
    correlated : (S,) posterior share of variance that neighbouring weeks have in common.
    evidence : (S,) log marginal likelihood.
    stretches : per series, in time order; empty tuples when not asked for.
    line : None when not asked for.
    """

    band: Floats
    p: Floats
    p_slowed: Floats
    rate: Floats
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
