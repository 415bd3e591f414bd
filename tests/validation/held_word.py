"""The word held, looked at every week: how often it changes, flickers, is wrong, and how late it is."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tests.simulate.scoring import BAND
from tests.simulate.seasons import Season
from tests.simulate.stationary import FLAT, GAINING, WORLDS, class_of, lives
from tests.validation.dated import built_in_for
from tests.validation.door import Looks, learned_from, looks, observed_of
from tests.validation.part import Part, Scale
from tests.validation.populations import from_first_test
from tests.validation.table import Table
from tests.validation.tally import Floats, median_error, plus_minus, share, spread
from tracker.engine.verdict.levels import HELD
from tracker.model.units import DAYS_PER_MONTH

SEED, SIZE, ROSTER = 9400, 160, 240
DETOUR = 28.5 / DAYS_PER_MONTH
"""A word that is back within four weeks was a detour."""
SLOWED = len(HELD) - 1
NONE = -1
DRAWS = 60
STAYS = 6.0
"""Months that a new class has to last for its delay to be counted."""


@dataclass(frozen=True)
class Walk:
    """One swimmer's looks in order: months, word said at each, true class at each."""

    month: Floats
    word: np.ndarray
    truth: np.ndarray

    @property
    def years(self) -> float:
        return float(self.month[-1] - self.month[0]) / 12

    @property
    def changes(self) -> int:
        return int((np.diff(self.word) != 0).sum())

    @property
    def detours(self) -> int:
        """Return how often a word was left and taken up again within four weeks."""
        at = np.flatnonzero(np.diff(self.word)) + 1
        return sum(
            int(self.word[a - 1] == self.word[b] and self.month[b] - self.month[a] <= DETOUR)
            for a, b in pairwise(at)
        )

    @property
    def spoken(self) -> np.ndarray:
        return np.asarray((self.word >= 0) & (self.word < SLOWED))

    @property
    def wrong(self) -> np.ndarray:
        return np.asarray(self.spoken & (self.word != self.truth))

    def delays(self, before: int, after: int) -> list[float]:
        """Return months from each lasting change of class to its first word; infinite where none came."""
        out = []
        at = np.flatnonzero(np.diff(self.truth)) + 1
        ends = [*at[1:], self.truth.size] if at.size else []
        for a, b in zip(at, ends, strict=True):
            lasts = self.month[b - 1] - self.month[a] >= STAYS
            if lasts and (self.truth[a - 1], self.truth[a]) == (before, after):
                told = np.flatnonzero(self.word[a:b] == after)
                out.append(float(self.month[a + told[0]] - self.month[a]) if told.size else float("inf"))
        return out


def by_looks(seen: Looks) -> np.ndarray:
    """Return the words of someone who wrote down what each look said and never looked back."""
    out = np.full(seen.owner.size, NONE)
    word = NONE
    for i in range(seen.owner.size):
        if i == 0 or seen.owner[i] != seen.owner[i - 1]:
            word = NONE
        p = np.append(seen.p[i], seen.slowed[i])
        if word != NONE and p[word] < seen.leave[i, word]:
            word = NONE
        leading = int(seen.p[i].argmax())
        if p[leading] >= seen.enter[i, leading]:
            word = leading
        elif word == NONE and p[SLOWED] >= seen.enter[i, SLOWED]:
            word = SLOWED
        out[i] = word
    return out


def unheld(seen: Looks, cut: float | None = None) -> np.ndarray:
    """Return the words without holding: the likeliest class where it reaches its level, or a cut for all."""
    leading = seen.p.argmax(axis=1)
    every = np.arange(leading.size)
    level = seen.enter[every, leading] if cut is None else cut
    return np.where(seen.p[every, leading] >= level, leading, NONE)


def walks(seen: Looks, word: np.ndarray, swimmers: list[Season]) -> list[Walk]:
    """Return each swimmer's looks with the words said at them."""
    out = []
    for i, swimmer in enumerate(swimmers):
        rows = np.flatnonzero(seen.owner == i)
        if rows.size > 1:
            day = np.round(seen.month[rows] * DAYS_PER_MONTH).astype(int)
            rate = swimmer.rate[np.minimum(day, swimmer.rate.size - 1)]
            out.append(Walk(seen.month[rows], word[rows], class_of(rate, BAND)))
    return out


def run(scale: Scale) -> Part:
    """Look every week at swimmers of the stationary world, uncut, with priors of another roster."""
    rows = []
    size = scale.of(SIZE, 8)
    for number, name in enumerate(("stationary", "correlated weeks")):
        rng = np.random.default_rng((SEED, number))
        roster = [from_first_test(s) for s in lives(rng, scale.of(ROSTER, 30), WORLDS[name])]
        swimmers = [from_first_test(s) for s in lives(rng, size, WORLDS[name])]
        for priors, learned in (("learned", learned_from(roster)), ("built in", built_in_for(roster))):
            seen = looks(*observed_of(swimmers, learned))
            kept = by_looks(seen)
            ways = {
                "held, as the tool says it": seen.word,
                "held, from what each look said": kept,
                "not held, same levels": unheld(seen),
                "not held, .80 for all": unheld(seen, 0.80),
            }
            draws = 4 if scale.quick else DRAWS
            rows += [
                (name, priors, way, *row_of(walks(seen, word, swimmers), draws),
                 f"{(word != kept).mean():.3f}" if word is seen.word else "")
                for way, word in ways.items()
            ]  # fmt: skip
    table = Table(
        "held_word",
        "The word held, looked at every week",
        f"{size} swimmers of the stationary world (seed {SEED}), whole records of 40-130 weeks, a look at "
        "every week with a new test, each with the tests up to then only; learned priors are those of "
        f"{scale.of(ROSTER, 30)} other swimmers. Changes count every change of the word, to or from none and "
        "slowed too; a detour is back within four weeks. Spoken: gaining, plateau or slipping; wrong: of "
        f"those looks. Delay: from a change of class that lasts {STAYS:g} months or longer to its word. At "
        "every look the tool goes through the past again, with readings of tests settled by all tests up to "
        "that look; the second row is a coach who keeps what was said. Disagree: share of looks at which "
        "those two differ. "
        f"± bootstrap over swimmers ({DRAWS} draws).",
        ("world", "priors", "word", "changes a year", "detours a year", "spoken", "wrong of spoken", "slowed",
         "gaining to plateau, months (median)", "named by 6", "plateau to gaining, months (median)",
         "looks that disagree"),
        tuple(rows),
    )  # fmt: skip
    return Part((table,))


def row_of(own: list[Walk], draws: int) -> tuple[str, ...]:
    """Return the figures of all swimmers' looks."""
    rng = np.random.default_rng(1)
    lots = [rng.integers(0, len(own), len(own)) for _ in range(draws)]

    def ratio(above: list[float], below: list[float], digits: int) -> str:
        a, b = np.array(above, float), np.array(below, float)
        return plus_minus(a.sum() / b.sum(), spread([a[lot].sum() / b[lot].sum() for lot in lots]), digits)

    years = [walk.years for walk in own]
    spoken = [float(walk.spoken.sum()) for walk in own]
    size = [float(walk.word.size) for walk in own]
    stops = np.array([late for walk in own for late in walk.delays(GAINING, FLAT)])
    starts = np.array([late for walk in own for late in walk.delays(FLAT, GAINING)])
    return (
        ratio([walk.changes for walk in own], years, 2),
        ratio([walk.detours for walk in own], years, 2),
        ratio(spoken, size, 3),
        ratio([float(walk.wrong.sum()) for walk in own], spoken, 3),
        ratio([float((walk.word == SLOWED).sum()) for walk in own], size, 3),
        _median(stops), f"{plus_minus(share(stops <= 6).value, share(stops <= 6).error, 2)} ({stops.size})",
        _median(starts),
    )  # fmt: skip


def _median(late: Floats) -> str:
    if not late.size:
        return "–"
    middle = float(np.median(late))
    if np.isposinf(middle):
        return "never"
    told = late[np.isfinite(late)]
    return plus_minus(middle, median_error(np.where(np.isfinite(late), late, told.max())), 1)
