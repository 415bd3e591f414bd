"""What the words are worth: of those held at random dates in invented swimmers, how many were so.

The figures are those of `reports/validation/word_record.csv`, written by `python -m tests.validation --only
word_record`; a test compares the two.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from tracker.engine.verdict.verdict import Verdict, Word

ENOUGH: Final = 30
"""Fewer words at a probability say too little; then the record of the word at any probability is told."""


@dataclass(frozen=True)
class WordRecord:
    """Of `words` held at a stated probability from `low` to below `high`, `so` were so.

    Over the whole range it is the record of the word at any probability.
    """

    word: Word
    low: float
    high: float
    words: int
    so: int

    @property
    def any(self) -> bool:
        """Whether it is of the word at any probability."""
        return self.low <= 0 and self.high >= 1

    @property
    def of_hundred(self) -> int:
        """How many of a hundred were so."""
        return round(100 * self.so / self.words)


RECORDS: Final = (
    WordRecord(Word.GAINING, 0.0, 0.7, 121, 78),
    WordRecord(Word.GAINING, 0.7, 0.8, 147, 112),
    WordRecord(Word.GAINING, 0.8, 0.9, 435, 378),
    WordRecord(Word.GAINING, 0.9, 1.0, 554, 527),
    WordRecord(Word.GAINING, 0.0, 1.0, 1257, 1095),
    WordRecord(Word.PLATEAU, 0.0, 0.7, 129, 80),
    WordRecord(Word.PLATEAU, 0.7, 0.8, 246, 193),
    WordRecord(Word.PLATEAU, 0.8, 0.9, 402, 342),
    WordRecord(Word.PLATEAU, 0.9, 1.0, 10, 9),
    WordRecord(Word.PLATEAU, 0.0, 1.0, 787, 624),
    WordRecord(Word.SLIPPING, 0.0, 0.7, 19, 16),
    WordRecord(Word.SLIPPING, 0.7, 0.8, 36, 31),
    WordRecord(Word.SLIPPING, 0.8, 0.9, 59, 54),
    WordRecord(Word.SLIPPING, 0.9, 1.0, 10, 9),
    WordRecord(Word.SLIPPING, 0.0, 1.0, 124, 110),
    WordRecord(Word.SLOWED, 0.0, 0.7, 1, 0),
    WordRecord(Word.SLOWED, 0.7, 0.8, 7, 5),
    WordRecord(Word.SLOWED, 0.8, 0.9, 23, 18),
    WordRecord(Word.SLOWED, 0.9, 1.0, 25, 19),
    WordRecord(Word.SLOWED, 0.0, 1.0, 56, 42),
)


def record_of(verdict: Verdict | None) -> WordRecord | None:
    """Return the record of the word a verdict holds, at its probability; None where it holds none."""
    if verdict is None or verdict.p is None:
        return None
    own = [record for record in RECORDS if record.word is verdict.verdict]
    near = next(r for r in own if not r.any and (r.low <= verdict.p < r.high or r.high >= 1))
    return near if near.words >= ENOUGH else next(r for r in own if r.any)
