"""How a verdict differs from what was told, and what a month later said of it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from tests.technique.build import a_verdict
from tracker.engine.verdict.verdict import FlatStretch, MonthAgo, Verdict, Word
from tracker.model.told import Told
from tracker.technique.told import Difference, contradicts, difference
from tracker.technique.track_record import Later, month_later, track_record

MAY = dt.date(2026, 5, 31)


def told(word: str, since: dt.date | None = None, **more: Any) -> Told:
    return Told(date=MAY, swimmer="Ada Fjord", verdict=word, since=since, **more)


def now(word: Word, since: str, low: str | None = None, high: str | None = None, **more: Any) -> Verdict:
    """Return a verdict whose word began on a day of 2026, "02-10"; low and high are its interval."""
    day, first, last = (dt.date.fromisoformat(f"2026-{one}") for one in (since, low or since, high or since))
    fields = {"before_record": False, "flat_stretches": (), "reasons": (), **more}
    return replace(a_verdict(), verdict=word, since=day, since_low=first, since_high=last, **fields)


FEBRUARY = now(Word.PLATEAU, "02-10", "01-20", "03-04")


@pytest.mark.parametrize(
    ("was", "verdict", "found"),
    [
        (None, now(Word.PLATEAU, "02-10"), Difference.NEW),
        (None, now(Word.UNDECIDED, "02-10"), None),
        (told("undecided"), now(Word.GAINING, "02-10"), Difference.NEW),
        (told("undecided"), now(Word.TOO_EARLY, "02-10"), None),
        (told("plateau"), now(Word.UNDECIDED, "02-10"), Difference.GIVEN_UP),
        (told("plateau"), None, Difference.GIVEN_UP),
        (told("too early"), None, None),
        (told("plateau"), now(Word.SLOWED, "02-10"), Difference.REVISED),
        (told("gaining"), now(Word.PLATEAU, "02-10", high="05-30"), Difference.REVISED),
        (told("gaining"), now(Word.PLATEAU, "02-10", high="06-01"), Difference.MOVED_ON),
        (told("gaining"), now(Word.PLATEAU, "06-10"), Difference.MOVED_ON),
        (told("slowed"), now(Word.PLATEAU, "02-10"), Difference.NEW),
        (told("slowed"), now(Word.GAINING, "02-10"), Difference.REVISED),
        (told("slowed"), now(Word.PLATEAU, "06-10"), Difference.MOVED_ON),
        (told("plateau", dt.date(2026, 2, 1)), FEBRUARY, None),
        (told("plateau", dt.date(2026, 1, 1)), FEBRUARY, Difference.REDATED),
        (told("plateau", dt.date(2026, 3, 9)), FEBRUARY, Difference.REDATED),
        (told("plateau", link="kick-wide"), now(Word.PLATEAU, "02-10"), Difference.RELINKED),
    ],
)  # fmt: skip
def test_what_was_told_beside_what_is_said_now(
    was: Told | None, verdict: Verdict | None, found: Difference | None
) -> None:
    assert difference(was, verdict, None) is found


def stretch(start: str, end: str) -> FlatStretch:
    first, last = (dt.date.fromisoformat(f"2026-{one}") for one in (start, end))
    return FlatStretch(first, last, first, first, last, last, current=False)


def test_a_plateau_told_of_a_day_in_no_flat_stretch_is_contradicted() -> None:
    later = now(Word.GAINING, "07-10")
    assert contradicts(told("plateau"), later)
    assert not contradicts(told("plateau"), replace(later, flat_stretches=(stretch("03-01", "07-10"),)))


def test_a_gain_told_of_a_day_within_a_flat_stretch_is_contradicted() -> None:
    later = now(Word.GAINING, "07-10", flat_stretches=(stretch("03-01", "07-10"),))
    assert contradicts(told("gaining"), later)
    assert not contradicts(told("gaining"), replace(later, flat_stretches=(stretch("06-01", "07-10"),)))


def at(word: Word, day: dt.date = MAY) -> Verdict:
    return now(Word.PLATEAU, "02-10", month_ago=MonthAgo(day, word, 0.9, 0.05, 0.05))


@pytest.mark.parametrize(
    ("was", "verdict", "later"),
    [
        ("gaining", at(Word.GAINING), Later.AGREED),
        ("plateau", at(Word.GAINING), Later.OTHERWISE),
        ("plateau", at(Word.UNDECIDED), Later.UNSURE),
        ("gaining", at(Word.GAINING, MAY - dt.timedelta(days=16)), Later.UNKNOWN),
        ("gaining", at(Word.GAINING, MAY - dt.timedelta(days=15)), Later.AGREED),
        ("slowed", at(Word.GAINING), Later.UNKNOWN),
        ("gaining", None, Later.UNKNOWN),
    ],
)
def test_a_month_later(was: str, verdict: Verdict | None, later: Later) -> None:
    assert month_later(told(was), verdict) is later


def test_the_record_counts_by_word_and_swimmer() -> None:
    rows = [
        (told("gaining"), True, Later.OTHERWISE),
        (told("gaining"), False, Later.AGREED),
        (told("plateau"), False, Later.UNSURE),
        (told("plateau"), False, Later.UNKNOWN),
    ]
    found = track_record(rows, as_of=MAY)
    counted = (*found.words, found.all)
    assert [(one.word, one.told, one.revised, one.compared, one.agreed) for one in counted] == [
        (Word.GAINING, 2, 1, 2, 1),
        (Word.PLATEAU, 2, 0, 0, 0),
        (None, 4, 1, 2, 1),
    ]  # fmt: skip
    assert found.all.swimmers == 1
