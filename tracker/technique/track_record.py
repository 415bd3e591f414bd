"""How the words that were told held, counted by word."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.told import Told
from tracker.technique.told import word_told

SLACK: Final = dt.timedelta(days=15)
"""How far the day that a later verdict looks back to may lie from the day that was told of."""


class Later(StrEnum):
    """What the verdict of a month later said of the day that a word was about."""

    AGREED = "agreed"
    OTHERWISE = "otherwise"
    UNSURE = "unsure"
    """No class was sure enough to be said of that day."""
    UNKNOWN = "unknown"
    """The month is not over, or no test came near its end; a slowing has no class of its own to compare."""


@dataclass(frozen=True)
class WordRecord:
    """The words told of one kind, or all of them where `word` is None.

    Attributes
    ----------
    told, swimmers
        How many were told, and of how many swimmers.
    revised
        How many of them the tool says today were another word on the day told of.
    agreed, otherwise, unsure
        What the verdict of a month later said of that day; of the others nothing can be said yet.
    """

    word: Word | None
    told: int
    swimmers: int
    revised: int
    agreed: int
    otherwise: int
    unsure: int

    @property
    def compared(self) -> int:
        """Of how many words the next month's tests said something sure."""
        return self.agreed + self.otherwise


@dataclass(frozen=True)
class TrackRecord:
    """The record of each word that was told, then of all."""

    as_of: dt.date
    words: Sequence[WordRecord]
    all: WordRecord


def month_later(told: Told, verdict: Verdict | None) -> Later:
    """Return what a verdict of about a month after `told` says of the day it was about."""
    if verdict is None or verdict.lacks or abs(verdict.month_ago.date - told.date) > SLACK:
        return Later.UNKNOWN
    said, then = word_told(told), verdict.month_ago.word
    if said is Word.SLOWED:
        return Later.UNKNOWN
    if not then.tells:
        return Later.UNSURE
    return Later.AGREED if then is said else Later.OTHERWISE


def track_record(found: Iterable[tuple[Told, bool, Later]], *, as_of: dt.date) -> TrackRecord:
    """Return the record of words, each with whether it is revised today and what a month later said."""
    rows = list(found)
    words = [word for word in Word if any(word_told(told) is word for told, _, _ in rows)]
    return TrackRecord(
        as_of,
        [_record(word, [row for row in rows if word_told(row[0]) is word]) for word in words],
        _record(None, rows),
    )


def _record(word: Word | None, rows: Sequence[tuple[Told, bool, Later]]) -> WordRecord:
    later = [said for _, _, said in rows]
    return WordRecord(
        word,
        len(rows),
        len({told.swimmer for told, _, _ in rows}),
        sum(revised for _, revised, _ in rows),
        later.count(Later.AGREED),
        later.count(Later.OTHERWISE),
        later.count(Later.UNSURE),
    )
