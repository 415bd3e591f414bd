"""Forward recursion over the last knot: what the data up to a knot say of the level there.

The line is continuous; after a knot a segment gets a label (gaining, flat, slipping) and a slope drawn from
the label's prior. Segments are not independent, for they share the level at the knot. Per knot the level is
kept as one normal (the moments of the exact mixture); everything else is exact. Built on the idea of
Fearnhead (2006), Stat Comput 16:203, exact segmentation, with the level message of a switching state-space
model (Smith & West 1983, Biometrics 39:867). Each knot carries two messages: over all predecessors, for the
segments that may follow anything, and over those that are not flat, for flat never follows flat (else onsets
drift late).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.engine.trend.grid import Grid, Sums
from tracker.engine.trend.looks import Filtered, LookRecorder
from tracker.engine.trend.messages import START_SD, Message, collapsed, folded_of, shares
from tracker.engine.trend.mixture import log_sum_exp
from tracker.engine.trend.observations import Floats, Ints
from tracker.engine.trend.priors import FLAT
from tracker.engine.trend.rules import NEVER, Durations, Rules, add_to_hypotheses


@dataclass(frozen=True)
class Forward:
    """Result of the forward pass over S columns: series, or series times hypotheses.

    Attributes
    ----------
    every, moving, flat : messages over all predecessors, those that are not flat, those that are; their
        slopes (G, slopes) of the first columns only.
    back : (2, G + 1, S) the best predecessor of each knot, over every and over the moving ones: label * b +
        a for the knot b (the end is G).
    log_end : (3, G, S) log weight of the last segment's label and first knot; not normalised.
    slope, slope_variance : (3, G, S) of that segment.
    level, level_variance, cross : (3, G, S) of the level at its first knot, and the covariance with the
        slope.
    evidence : (S,) log marginal likelihood.
    filtered : the looks, where asked for.
    """

    every: Message
    moving: Message
    flat: Message
    back: Ints
    log_end: Floats
    slope: Floats
    slope_variance: Floats
    level: Floats
    level_variance: Floats
    cross: Floats
    evidence: Floats
    filtered: Filtered | None = None

    def before(self, label: int) -> Message:
        """Return the message that a segment of this label starts from."""
        return self.moving if label == FLAT else self.every


class _Pieces:
    """Segments from every knot before `b` to it, all labels at once."""

    def __init__(self, sums: Sums, grid: Grid, b: int) -> None:
        start = grid.time[:b]
        self.a = sums.oo[b] - sums.oo[:b]
        or_ = sums.oo_r[b] - sums.oo_r[:b]
        self.b = or_ - start * self.a
        self.c = (sums.rr[b] - sums.rr[:b]) - start * (or_ + self.b)
        self.d = sums.oy[b] - sums.oy[:b]
        self.e = (sums.ry[b] - sums.ry[:b]) - start * self.d
        self.length = grid.time[b] - start

    def solve(self, rules: Rules, start: Floats) -> tuple[Floats, ...]:
        """Return log weight, level and slope at the start, and the slope's and the level's variance.

        All (3, B, S); `start` (3, 3, B, S) holds for each label what `folded_of` makes of the messages that
        its segments start from. Both variances, and minus the last value, `b` over the determinant, are the
        inverse of the precision matrix of level and slope.
        """
        precision, shift, log_weight = start
        tight = rules.precision[:, None]
        l11 = self.a + precision
        l22 = self.c + tight
        h1 = self.d + shift
        h2 = self.e + rules.mean[:, None] * tight
        det = l11 * l22
        det -= self.b * self.b
        inverse = 1.0 / det
        level = (l22 * h1 - self.b * h2) * inverse
        slope = (l11 * h2 - self.b * h1) * inverse
        h1 *= level
        h2 *= slope
        h1 += h2
        h1 -= np.log(det)
        h1 *= 0.5
        h1 += log_weight
        h1[:, 0] += rules.first[:, None]
        l11 *= inverse
        l22 *= inverse
        inverse *= self.b
        return h1, level, slope, l11, l22, inverse


def forward(  # noqa: PLR0913, PLR0915 - one step after the other, and what is wanted of them
    sums: Sums,
    grid: Grid,
    rules: Rules,
    start: Floats,
    lengths: Durations,
    *,
    slopes: int | None = None,
    path: bool = False,
    looks: Floats | None = None,
) -> Forward:
    """Run the recursion over a batch. `start` (S,) is where the first level is expected.

    `lengths` are those of the series; the columns may be series times hypotheses, hypothesis by hypothesis.
    `slopes`: for how many of the first columns the slopes before the knots are kept (all). `path` is for the
    sweeps, which want the best predecessors. `looks`: also what was known at each knot; the half-widths of
    flat, one a column.
    """
    size, series = grid.valid.shape
    kept = series if slopes is None else slopes
    constant = rules.constant()[:, None]
    every, moving, flat = (Message.empty(size, start, kept) for _ in range(3))
    flat.log_weight[0] = NEVER
    # what the segments of each label start from
    folded = np.empty((3, 3, size, series))
    first = np.stack([np.zeros(series), start, np.full(series, START_SD**2)])
    folded[:, :, 0] = folded_of(first)[:, None]
    back = np.zeros((2, size + 1, series), np.int64)
    seen = None if looks is None else LookRecorder(size, kept, (every, moving), looks)
    for b in range(1, size):
        solved = _Pieces(sums, grid, b).solve(rules, folded[:, :, :b])
        add_to_hypotheses(solved[0], lengths.ending[b])
        solved[0][...] += constant
        top, share = shares(solved[0])
        if seen is not None:
            seen.add(b, top, share, solved, lengths.odds[b])
        if path:
            back[:, b] = _best(solved[0], rules.after_flat)
        by_label = collapsed(top, share, *_arriving(grid.time[b] - grid.time[:b], solved, kept))
        # over those that are not flat, and over all as what follows them sees them
        weights = np.stack([by_label[0][0], by_label[0][0]])
        weights[0, FLAT] = NEVER
        weights[1, FLAT] += rules.after_flat
        levels, rates = collapsed(*shares(weights), by_label[0][1:], by_label[1])
        for message, number in ((every, 1), (moving, 0)):
            message.set(b, levels[:, number], rates[:, number])
        flat.set(b, by_label[0][:, FLAT], by_label[1][:, FLAT])
        folded[:, ::2, b] = folded_of(levels[:, 1])[:, None]
        folded[:, FLAT, b] = folded_of(levels[:, 0])
    solved = _Pieces(sums, grid, size).solve(rules, folded)
    log_end, level, slope, slope_var, level_var, cross = solved
    add_to_hypotheses(log_end, lengths.last)
    log_end += constant
    if seen is not None:
        seen.add(size, *shares(log_end), solved, None)
    if path:
        back[:, size] = _best(log_end, 0.0)
    evidence = log_sum_exp(log_end, (0, 1)) + sums.constant[-1]
    return Forward(
        every, moving, flat, back, log_end, slope, slope_var, level, level_var, -cross, evidence,
        None if seen is None else seen.found(),
    )  # fmt: skip


def _arriving(length: Floats, solved: tuple[Floats, ...], slopes: int) -> tuple[Floats, Floats]:
    """Return level and variance (2, 3, B, S), and the slopes' fields of `Message` (3, 3, B, slopes), at b."""
    _, level, slope, slope_variance, level_variance, cross = solved
    at_end = np.empty((2, *level.shape))
    np.multiply(length, slope, out=at_end[0])
    at_end[0] += level
    step = length * slope_variance
    step -= cross
    np.subtract(cross, step, out=at_end[1])
    at_end[1] *= length
    np.subtract(level_variance, at_end[1], out=at_end[1])
    return at_end, np.stack([slope[..., :slopes], slope_variance[..., :slopes], step[..., :slopes]])


def _best(log_weight: Floats, after_flat: float) -> Ints:
    """Return the best predecessor (2, S) of (3, B, S), among every label and among the moving ones."""
    labels, knots, series = log_weight.shape
    first = log_weight.argmax(axis=1)
    best = np.take_along_axis(log_weight, first[:, None], 1)[:, 0]
    lift = np.zeros((2, labels, 1))
    lift[0, FLAT], lift[1, FLAT] = after_flat, NEVER
    label = (best + lift).argmax(axis=1)
    return np.asarray(label * knots + first[label, np.arange(series)])
