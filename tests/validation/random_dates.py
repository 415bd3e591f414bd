"""What the verdict is worth at a random date: probabilities, intervals, words, by weeks since the change."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from tests.validation.dated import SEEDS, Truth, dated, size_of, truth_of
from tests.validation.part import Part, Scale
from tests.validation.populations import Judged
from tests.validation.table import Table
from tests.validation.tally import Floats, Share, plus_minus, resampled, share, shown
from tracker.engine.verdict.judge import judge_case
from tracker.engine.verdict.verdict import Verdict, Word
from tracker.settings import DEFAULT

BINS = 10
ROUND = 0.80
"""The round probability that all figures of the words were once stated at."""
MOVING = 0.3
"""Percent a month above which a swimmer surely gains."""
WORDS = (Word.GAINING, Word.PLATEAU, Word.SLIPPING)
SINCE = (0, 4, 8, 13, 26, 52, np.inf)
"""Weeks since the true class last changed."""
SINCE_NAMES = ("under 4 weeks", "4-8", "8-13", "13-26", "26-52", "52 or more", "never on record")
DRAWS = 60


def log_loss(p: Floats, truth: np.ndarray) -> Floats:
    """Return (S,) minus the log of the probability given to what was so."""
    return np.asarray(-np.log(np.clip(p[np.arange(truth.size), truth], 1e-6, 1.0)))


def calibration_error(p: Floats, truth: np.ndarray) -> float:
    """Return how far the mean probability lies from the share that was so, over ten bins of each class.

    Weighted by how many fall into a bin; of true probabilities it is above zero too, by chance.
    """
    off = 0.0
    for k in range(p.shape[1]):
        place = np.minimum((p[:, k] * BINS).astype(int), BINS - 1)
        off += np.abs(np.bincount(place, p[:, k] - (truth == k), BINS)).sum()
    return float(off / p.size)


def by_chance(p: Floats, rng: np.random.Generator, draws: int) -> float:
    """Return the calibration error that true probabilities of these sizes would show on average."""
    edges = p.cumsum(axis=1)
    found = []
    for _ in range(draws):
        truth = np.minimum((rng.random((len(p), 1)) > edges).sum(axis=1), p.shape[1] - 1)
        found.append(calibration_error(p, truth))
    return float(np.mean(found))


def covered(roster: Judged, truth: Truth) -> np.ndarray:
    """Return whether the 90 % interval holds the true rate."""
    low, _, high = roster.case.answer.rate.T
    return np.asarray((truth.rate >= low) & (truth.rate <= high))


def places(words: list[Word]) -> np.ndarray:
    """Return the place of each word among the three classes, -1 for none of them."""
    return np.array([WORDS.index(word) if word in WORDS else -1 for word in words])


def right_of(said: np.ndarray, truth: np.ndarray) -> Share:
    """Return of those spoken of how many are so."""
    return share(said[said >= 0] == truth[said >= 0])


def said_at(p: Floats, cut: float) -> np.ndarray:
    """Return the likeliest class where it reaches the cut, else -1."""
    return np.where(p.max(axis=1) >= cut, p.argmax(axis=1), -1)


COLUMNS = (
    "swimmers", "log loss", "calibration error", "of which by chance", "90 % rate interval covers",
    "P(flat) >= .80 of those gaining > .3", "a word of the three", "it is right", "slowed",
    "P >= .80", "it is right at .80", "a month ago: said", "a month ago: right",
)  # fmt: skip


def row_of(roster: Judged, draws: int) -> tuple[str, ...]:
    """Return the figures of a roster."""
    truth, p = truth_of(roster.swimmers), roster.case.answer.p
    verdicts = judge_case(roster.case, DEFAULT)
    word = places([v.verdict for v in verdicts])
    round_, before = said_at(p, ROUND), places(_month_ago(verdicts))
    rng = np.random.default_rng(1)

    def error(rows: np.ndarray) -> float:
        return calibration_error(p[rows], truth.now[rows])

    return (
        str(truth.now.size), mean_shown(log_loss(p, truth.now)),
        plus_minus(calibration_error(p, truth.now), resampled(rng, truth.now.size, error, draws)),
        f"{by_chance(p, rng, draws):.3f}", shown(share(covered(roster, truth))),
        shown(share(p[truth.rate > MOVING, 1] >= ROUND)),
        shown(share(word >= 0)), shown(right_of(word, truth.now)),
        shown(share([v.verdict == Word.SLOWED for v in verdicts])),
        shown(share(round_ >= 0)), shown(right_of(round_, truth.now)),
        shown(share(before >= 0)), shown(right_of(before, truth.month_ago)),
    )  # fmt: skip


def mean_shown(values: Floats, digits: int = 3) -> str:
    """Return a mean with its standard error."""
    return plus_minus(float(values.mean()), float(values.std(ddof=1) / np.sqrt(values.size)), digits)


def _month_ago(verdicts: tuple[Verdict, ...]) -> list[Word]:
    return [v.month_ago.word if v.month_ago is not None else Word.UNDECIDED for v in verdicts]


def run(scale: Scale) -> Part:
    """Judge all populations at random dates."""
    draws = 4 if scale.quick else DRAWS
    rosters = {name: dated(name, size_of(name, scale)) for name in SEEDS}
    rows = [(name, "learned", *row_of(roster, draws)) for name, roster in rosters.items()]
    rows += [
        (name, "built in", *row_of(dated(name, size_of(name, scale), learned=False), draws))
        for name in ("stationary", "quick", "slow", "correlated weeks")
    ]
    table = Table(
        "random_dates",
        "At a random date",
        "Each population as one roster (seeds: tests/validation/dated.py), every season cut at a date "
        "uniform in its second half, so that the last change may be a day old; priors learned from the "
        "roster or built in. Stationary: spells of gaining, flat, slipping as a Markov chain, 7-9 months on "
        "average, a fifth with correlated weeks; below it the same world with one trouble. Quick, slow, "
        "joint: the populations of the uncut guard, cut. Classes by the band of 0.25 %/month. Calibration "
        "error: mean distance of said and so over ten bins of three classes; by chance: what true "
        "probabilities would show at that size. A word of the three: the verdict's held word is gaining, "
        "plateau or slipping. A month ago: the verdict's word of thirty days before the last test, against "
        "the rate on that day. A season's true rate is told without the wave.",
        ("population", "priors", *COLUMNS),
        tuple(rows),
    )
    return Part((table, _since(rosters)))


def _since(rosters: dict[str, Judged]) -> Table:
    rows = []
    for name in ("stationary", "quick", "slow", "joint"):
        roster = rosters[name]
        truth, p = truth_of(roster.swimmers), roster.case.answer.p
        word = places([v.verdict for v in judge_case(roster.case, DEFAULT)])
        held = covered(roster, truth)
        within = [(truth.weeks >= low) & (truth.weeks < high) for low, high in pairwise(SINCE)]
        rows += [
            (name, label, *_cells(p, truth, word, held, chosen))
            for label, chosen in zip(SINCE_NAMES, (*within, np.isinf(truth.weeks)), strict=True)
        ]
    return Table(
        "random_dates_since",
        "At a random date, by weeks since the true class last changed",
        "The rosters of the table above, priors learned.",
        ("population", "weeks since", "swimmers", "log loss", "90 % rate interval covers",
         "likeliest class right", "a word of the three", "it is right"),
        tuple(rows),
    )  # fmt: skip


def _cells(
    p: Floats, truth: Truth, word: np.ndarray, held: np.ndarray, chosen: np.ndarray
) -> tuple[str, ...]:
    if chosen.sum() < 2:
        return (str(int(chosen.sum())), *["–"] * 5)
    figures = (
        share(held[chosen]),
        share(p[chosen].argmax(axis=1) == truth.now[chosen]),
        share(word[chosen] >= 0),
        right_of(word[chosen], truth.now[chosen]),
    )
    return (
        str(int(chosen.sum())),
        mean_shown(log_loss(p[chosen], truth.now[chosen]), 2),
        *(shown(figure, 2) for figure in figures),
    )
