"""What one test did to the line and the word: the verdict without it beside the verdict with it."""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass

from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.best_times import Standing
from tracker.model.units import DAYS_PER_MONTH


@dataclass(frozen=True)
class LineNews:
    """What a test did to the line and the word.

    Attributes
    ----------
    above
        How far it was above the line as it stood before, percent, + is faster; None where there was none.
    scatters
        The same in typical errors of one test.
    word, p_before, p_after
        The word now, or what it leans to, with its probability without the test and with it; None while the
        record is too short.
    tests, needed
        Test days now, and how many a word needs.
    """

    above: float | None
    scatters: float | None
    word: Word | None
    p_before: float | None
    p_after: float | None
    tests: int
    needed: int


@dataclass(frozen=True)
class NewsOfTest:
    """What a new test did: how its times stand, and to the line; None where nobody worked that out.

    `aside`: the line set it aside, so that it counts for neither.
    """

    standings: tuple[Standing, ...]
    line: LineNews | None = None
    aside: bool = False


def line_news(before: Verdict | None, after: Verdict | None, day: dt.date, needed: int) -> LineNews | None:
    """Return what the tests of a day did; None where they do not count, or later ones are on record.

    Parameters
    ----------
    before, after
        The verdict without them and with them; None without a test.
    needed
        How many test days a word needs.
    """
    if after is None or after.last != day or not counts(before, after):
        return None
    if after.lacks:
        return LineNews(None, None, None, None, None, after.tests, needed)
    known = None if before is None or before.lacks else before
    above = None if known is None else _above(known, after, day)
    word = after.leaning.word if after.leaning and not after.verdict.tells else after.verdict
    return LineNews(
        above,
        None if above is None else above / after.noise_pct,
        word,
        None if known is None else known.chance_of(word),
        after.chance_of(word),
        after.tests,
        needed,
    )


def counts(before: Verdict | None, after: Verdict) -> bool:
    """Return whether more tests count with the new ones than without."""
    return before is None or _counted(after) > _counted(before)


def _counted(verdict: Verdict) -> int:
    return sum(not point.set_aside for point in verdict.points)


def _above(before: Verdict, after: Verdict, day: dt.date) -> float | None:
    """Return how far the tests of the last day lie above the line as it stood before, percent."""
    own = [point.on_line for point in after.points if point.date == day and not point.set_aside]
    if day <= before.last or not own or before.reference != after.reference:
        return None
    months = (day - before.last).days / DAYS_PER_MONTH
    line = before.present_pace * math.exp(-before.rate * months / 100)
    return 100 * math.log(line / (sum(own) / len(own)))
