"""The sentence on two dates of one verdict: until about a month ago, and at the last test."""

from __future__ import annotations

import datetime as dt
from typing import assert_never

from tracker.engine.verdict.verdict import MonthAgo, TrendClass, Verdict, Word
from tracker.output.sentences.numbers import day, sure
from tracker.output.sentences.verdict import class_words, leaning_words


def two_dates(verdict: Verdict | None, today: dt.date | None = None) -> str:
    """Return what was so until about a month ago and what is so today, and when today will be known.

    Empty where the record is too short. A year stands where it is not that of `today`; default: the day of
    the verdict.
    """
    if verdict is None or verdict.lacks:
        return ""
    as_of = today or verdict.as_of
    return (
        f"Until about {day(verdict.month_ago.date, as_of)}: {_then(verdict.month_ago)}; "
        f"at the last test: {_now(verdict)}{_known_by(verdict, as_of)}."
    )


def _then(then: MonthAgo) -> str:
    match then.word:
        case Word.GAINING | Word.PLATEAU | Word.SLIPPING:
            return f"{_said(then.word)}, {sure(then.p)} sure"
        case Word.SLOWED | Word.UNDECIDED | Word.TOO_EARLY:
            likeliest = max(
                (then.p_gaining, "gaining"), (then.p_flat, "a plateau"), (then.p_slipping, "slipping")
            )[1]
            return f"not sure, {likeliest} the likeliest ({sure(then.p)})"
        case other:
            assert_never(other)


def _now(verdict: Verdict) -> str:
    match verdict.verdict:
        case Word.GAINING | Word.PLATEAU | Word.SLIPPING:
            return f"{_said(verdict.verdict)}, {sure(verdict.p or 0.0)} sure"
        case Word.SLOWED | Word.UNDECIDED | Word.TOO_EARLY:
            return f"{verdict.verdict}{leaning_words(verdict)}"
        case other:
            assert_never(other)


def _said(said: TrendClass) -> str:
    return "on a plateau" if said is Word.PLATEAU else class_words(said)


def _known_by(verdict: Verdict, as_of: dt.date) -> str:
    if verdict.verdict in {Word.GAINING, Word.PLATEAU, Word.SLIPPING}:
        return ""
    if verdict.known_by is None:
        return ", and at this rhythm of testing that may last over a year"
    if verdict.tests_to_tell == 0:
        return ", and the next test may tell"
    return f", and a word is more likely than not by about {day(verdict.known_by, as_of)}"
