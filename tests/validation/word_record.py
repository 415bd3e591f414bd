"""Of the words that the tool holds, how many are so: for each word, by the probability it states."""

from __future__ import annotations

from itertools import pairwise
from typing import assert_never

import numpy as np

from tests.validation.dated import dated, size_of, truth_of
from tests.validation.part import Part, Scale
from tests.validation.table import Table
from tests.validation.tally import Share, shown
from tracker.engine.verdict.judge import judge_case
from tracker.engine.verdict.verdict import Word
from tracker.settings import DEFAULT

AT_RANDOM_DATES = ("stationary", "quick", "slow", "joint")
CLASSES = (Word.GAINING, Word.PLATEAU, Word.SLIPPING)
EDGES = (0.0, 0.7, 0.8, 0.9, 1.0)
"""Probabilities a word is held at."""


def run(scale: Scale) -> Part:
    """Count on the rosters at random dates, priors learned."""
    said: list[tuple[Word, float, bool]] = []
    for name in AT_RANDOM_DATES:
        roster = dated(name, size_of(name, scale))
        truth = truth_of(roster.swimmers)
        verdicts = judge_case(roster.case, DEFAULT)
        for verdict, now, season in zip(verdicts, truth.now, roster.swimmers, strict=True):
            if verdict.p is not None:
                said.append((verdict.verdict, verdict.p, _is_so(verdict.verdict, int(now), season.rate)))
    rows = [row for word in (*CLASSES, Word.SLOWED) for row in _rows(word, said)]
    table = Table(
        "word_record",
        "The record of each word",
        "The rosters stationary, quick, slow and joint at random dates, priors learned. Of the words "
        "held at the last test, by the probability stated, how many are so. Slowed is so where the true rate "
        "is lower than before it last changed.",
        ("word", "stated", "words", "so", "share"),
        tuple(rows),
    )
    return Part((table,))


def _is_so(word: Word, now: int, rate: np.ndarray) -> bool:
    match word:
        case Word.GAINING | Word.PLATEAU | Word.SLIPPING:
            return CLASSES.index(word) == now
        case Word.SLOWED:
            changes = np.flatnonzero(np.diff(rate))
            return bool(changes.size and rate[-1] < rate[changes[-1]])
        case Word.UNDECIDED | Word.TOO_EARLY:
            raise ValueError(word)
        case other:
            assert_never(other)


def _rows(word: Word, said: list[tuple[Word, float, bool]]) -> list[tuple[str, ...]]:
    own = [(p, so) for held, p, so in said if held is word]
    spans = [(f"{low:g}-{high:g}", [so for p, so in own if low <= p < high]) for low, high in pairwise(EDGES)]
    spans.append(("any", [so for _, so in own]))
    return [
        (word, name, str(len(so)), str(sum(so)), shown(Share(sum(so), len(so)))) for name, so in spans if so
    ]
