"""The word that is held: said from one probability on, given up below another.

The looks of the past are gone through again, each with what was known then, so the word is a function of the
data and the date alone: nobody has to remember what was said.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tracker.engine.series.comparable import Series
from tracker.engine.trend.observations import Bools, Floats, Ints
from tracker.engine.trend.posterior import Answer
from tracker.engine.verdict.levels import HELD, Levels
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import Settings

SLOWED = len(HELD) - 1
NONE = -1


@dataclass(frozen=True)
class HeldWords:
    """The word of each of S series today: its number in `levels.HELD`, -1 for none; since when, months."""

    word: Ints
    since: Floats


def held_words(answer: Answer, levels: Levels, enough: Bools) -> HeldWords:
    """Return the words held after the last look.

    Parameters
    ----------
    answer
        The posterior; its last look is today, by the whole posterior.
    levels
        What it takes to say and to keep each word, (S, 4).
    enough
        (S, L) whether the record was long enough for a word at each look.

    Notes
    -----
    At each look a word is given up whose probability fell below the level for keeping it. Then the likeliest
    of the three classes is said if it reaches its level; else, where no class is held, "slowed" if it does.
    """
    looks = answer.looks
    p = np.concatenate([looks.p, looks.slower[:, :, None]], axis=2)
    p[:, -1, :3], p[:, -1, SLOWED] = answer.p, answer.p_slowed
    series = np.arange(len(answer))
    word, since = np.full(len(answer), NONE), np.full(len(answer), np.nan)
    for look in range(p.shape[1]):
        now = p[:, look]
        before = word
        lost = (word != NONE) & (now[series, word] < levels.leave[series, word])
        word = np.where(lost, NONE, word)
        leading = now[:, :SLOWED].argmax(axis=1)
        said = now[series, leading] >= levels.enter[series, leading]
        slower = (word == NONE) & (now[:, SLOWED] >= levels.enter[:, SLOWED])
        word = np.where(said, leading, np.where(slower, SLOWED, word))
        word = np.where(looks.valid[:, look] & enough[:, look], word, NONE)
        since = np.where(word == NONE, np.nan, np.where(word == before, since, looks.time[:, look]))
    return HeldWords(word, since)


def long_enough(series: Series, answer: Answer, settings: Settings) -> Bools:
    """Return (S, L) whether a record had tests and weeks enough at each look; what is set aside is none."""
    looks = answer.looks
    tests = np.zeros(looks.time.shape)
    weeks = np.zeros(looks.time.shape)
    for s, months in enumerate(series.months):
        days = np.unique(months[~answer.set_aside[s, : months.size]])
        if days.size:
            tests[s] = np.searchsorted(days, looks.time[s], side="right")
            weeks[s] = (looks.time[s] - days[0]) * DAYS_PER_MONTH / 7
    return np.asarray((tests >= settings.min_tests) & (weeks >= settings.min_weeks - 1e-9))
