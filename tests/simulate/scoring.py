"""Figures of a set of answers against the truth of its invented swimmers.

Flat now: a true rate of at most `STILL`, for eight weeks or longer. Moving: gaining faster than a style's
threshold. Times are weeks, shares between 0 and 1, NaN where nothing counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol, TypeVar

import numpy as np
from numpy.typing import NDArray

from tests.simulate.seasons import STILL, Season
from tracker.engine.trend.posterior import Answer

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
WEEKS = 30.4375 / 7
BAND = 0.25
HALF = 0.5


@dataclass(frozen=True)
class Score:
    """Figures of one population."""

    auc: float
    cut_at_5: float
    """Cut at which 5 % of the moving ones are called flat."""
    named_12_20_at_5: float
    false_plateau: float
    """Moving swimmers called flat at the cut, of all moving."""
    speaks: float
    right: float
    """Of the swimmers some class holds the cut for, how many are in it."""
    named_6_10_months: float
    """Of plateaus of 26 to 43 weeks with weekly or fortnightly tests, called flat at the cut."""
    named_longer: float
    rate_covered: float
    rate_covered_least: float
    """In the worst of five classes of test counts."""
    onset_error: float
    """Of plateaus called at the cut whose beginning the record holds; so is its interval."""
    onset_covered: float
    start_error: float
    """Of all stretches found, past and present, that begin within the record; so is its interval."""
    start_covered: float
    f1: float
    precision: float
    recall: float


def auc(positive: Floats, negative: Floats) -> float:
    """Return the chance that a positive scores higher than a negative (ties count half)."""
    values = np.concatenate([positive, negative])
    _, inverse = np.unique(values, return_inverse=True)
    order = np.empty(values.size)
    order[np.argsort(values, kind="stable")] = np.arange(1, values.size + 1)
    rank = (np.bincount(inverse, order) / np.bincount(inverse))[inverse]
    n, m = positive.size, negative.size
    return float((rank[:n].sum() - n * (n + 1) / 2) / (n * m))


def score(swimmers: list[Season], answer: Answer, threshold: float, cut: float = 0.80) -> Score:
    """Return the figures; `answer` must have been asked for the past."""
    now = np.array([s.now for s in swimmers])
    onset = np.array([s.onset for s in swimmers])
    weeks = (np.array([s.t[-1] for s in swimmers]) - onset) * WEEKS
    tests = np.array([s.t.size for s in swimmers])
    regular = np.array([s.t.size / max(s.t[-1] * WEEKS, 1) > 0.4 for s in swimmers])
    flat, moving = (np.abs(now) <= STILL) & (weeks >= 8), now > threshold
    p = answer.p_flat
    cut_at_5 = float(np.quantile(p[moving], 0.95))
    spoken = answer.p.max(axis=1) >= cut
    truth = np.where(np.abs(now) <= BAND, 1, np.where(now > 0, 0, 2))
    covered = (now >= answer.rate[:, 0]) & (now <= answer.rate[:, 2])
    group = np.digitize(tests, np.quantile(tests, [0.2, 0.4, 0.6, 0.8]))
    called = flat & (p >= cut) & (onset > 0)
    found = answer.onset[:, 1]
    found_stretches, wrong, missed = matches(swimmers, answer.stretches)
    hits = len(found_stretches)
    begun = [(span, stretch) for span, stretch in found_stretches if span[0] > 0]

    def named(low: float, high: float, at: float, rows: Bools) -> float:
        chosen = flat & rows & (weeks >= low) & (weeks < high)
        return _share(p[chosen] >= at)

    return Score(
        auc=auc(p[flat], p[moving]),
        cut_at_5=cut_at_5,
        named_12_20_at_5=named(12, 20, cut_at_5, np.ones(flat.size, bool)),
        false_plateau=_share(p[moving] >= cut),
        speaks=_share(spoken),
        right=_share(answer.p.argmax(axis=1)[spoken] == truth[spoken]),
        named_6_10_months=named(26, 43.5, cut, regular),
        named_longer=named(43.5, np.inf, cut, regular),
        rate_covered=_share(covered),
        rate_covered_least=min(_share(covered[group == k]) for k in range(5)),
        onset_error=float(np.median(np.abs(found[called, 1] - onset[called])) * WEEKS),
        onset_covered=_share((onset[called] >= found[called, 0]) & (onset[called] <= found[called, 2])),
        start_error=_median([abs(stretch.start - span[0]) * WEEKS for span, stretch in begun]),
        start_covered=_share(
            np.array([(s.start_low or 0.0) <= span[0] <= s.start_high for span, s in begun], bool)
        ),
        f1=f1_of(hits, wrong, missed),
        precision=hits / max(hits + wrong, 1),
        recall=hits / max(hits + missed, 1),
    )


def _share(hit: Bools) -> float:
    return float(hit.mean()) if hit.size else float("nan")


def _median(values: list[float]) -> float:
    return float(np.median(values)) if values else float("nan")


def f1_of(hits: int, wrong: int, missed: int) -> float:
    """Return the harmonic mean of precision and recall."""
    return 2 * hits / max(2 * hits + wrong + missed, 1)


Span = tuple[float, float]


class Spanned(Protocol):
    """What has a start and an end, months."""

    @property
    def start(self) -> float: ...

    @property
    def end(self) -> float: ...


F = TypeVar("F", bound=Spanned)


def matches(
    swimmers: Sequence[Season], found: Sequence[Sequence[F]]
) -> tuple[list[tuple[Span, F]], int, int]:
    """Return the stretches found beside the true ones, and how many were invented and missed.

    Found means overlapping by half of both together.
    """
    hits, wrong, missed = [], 0, 0
    for swimmer, stretches in zip(swimmers, found, strict=True):
        left = list(swimmer.stretches)
        for stretch in stretches:
            match = next((span for span in left if _overlap(span, stretch) >= HALF), None)
            if match is None:
                wrong += 1
            else:
                left.remove(match)
                hits.append((match, stretch))
        missed += len(left)
    return hits, wrong, missed


def _overlap(span: Span, stretch: Spanned) -> float:
    common = min(span[1], stretch.end) - max(span[0], stretch.start)
    return common / max(max(span[1], stretch.end) - min(span[0], stretch.start), 1e-9)
