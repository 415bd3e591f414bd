"""When the next test and the next look are due."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.faults.build import SWIMMER, a_verdict, day, steps
from tests.faults.test_rule import STEPS
from tracker.faults.attention import attention
from tracker.faults.due import Due, due
from tracker.records.event import Event
from tracker.records.event_kinds import EventKind
from tracker.records.fault import FaultStep
from tracker.settings import DEFAULT
from tracker.verdict.verdict import Word

AS_OF = day("06-30")


def test_the_next_test_is_a_week_after_the_last() -> None:
    found = due([day("06-28")], a_verdict("gaining"), [], [], [], as_of=AS_OF, settings=DEFAULT)
    assert found == Due(test=day("07-05"), review=None, look=day("07-26"))


def test_nothing_is_due_for_a_swimmer_who_never_tested() -> None:
    assert due([], None, [], [], [], as_of=AS_OF, settings=DEFAULT) == Due(None, None)


def test_a_look_is_due_four_weeks_after_the_last_wherever_the_line_went_flat() -> None:
    """The onset is an estimate: should it move to a later day, the look is as late as it was."""
    for since in ("01-15", "03-01", "05-20"):
        plateau = a_verdict(since=since)
        assert due([day("06-28")], plateau, [], [day("02-01")], [], as_of=AS_OF, settings=DEFAULT).review == (
            day("03-01")
        )


def test_a_look_puts_the_next_off_and_so_does_a_step_that_a_reviewer_saw() -> None:
    looks = [day("06-20"), day("05-01"), day("07-01")]
    found = due([day("06-28")], a_verdict(), [], looks, [], as_of=AS_OF, settings=DEFAULT)
    assert found.review == day("07-18")
    seen = steps("06-20 seen kick-hard 1 Mika", "06-25 seen kick-hard", "07-02 seen kick-hard 1 Mika")
    assert due([day("06-28")], a_verdict(), seen, [], [], as_of=AS_OF, settings=DEFAULT).review == (
        day("07-18")
    )


def test_whoever_was_never_looked_at_is_due_four_weeks_after_the_first_day_on_record() -> None:
    days = [day("02-01"), day("06-28")]
    hearsay = steps("01-10 open kick-hard", "06-01 work kick-hard")
    assert due(days, a_verdict(), [], [], [], as_of=AS_OF, settings=DEFAULT).review == day("03-01")
    assert due(days, a_verdict("gaining"), hearsay, [], [], as_of=AS_OF, settings=DEFAULT).review == (
        day("02-07")
    )


def test_open_parked_and_corrected_faults_ask_for_no_look() -> None:
    known = steps("01-10 open kick-hard", "01-10 parked kick-wide", "01-12 corrected breath-late Mika")
    assert due([], a_verdict("gaining"), known, [], [], as_of=AS_OF, settings=DEFAULT).review is None


WORDS: st.SearchStrategy[tuple[Word, dt.date]] = st.tuples(
    st.sampled_from(["plateau", "gaining", "slipping", "too early"]),
    st.dates(day("02-01"), day("06-01")),
)


@given(STEPS, st.lists(st.dates(day("01-10"), AS_OF), max_size=3), st.lists(WORDS, min_size=6, max_size=6))
def test_an_overdue_look_is_never_less_overdue_later_without_a_look(
    known: list[FaultStep], looks: list[dt.date], words: list[tuple[Word, dt.date]]
) -> None:
    """Whatever the verdict says month by month, from which onset, and whatever is taken up or parked."""
    looked = {*looks, *(step.date for step in known if step.reviewer)}
    late: tuple[dt.date, int] | None = None
    for month, (word, since) in zip(range(2, 8), words, strict=True):
        as_of = dt.date(2026, month, 28)
        tests = [day("02-01"), as_of]
        verdict = a_verdict(word, since=since.isoformat())
        found = due(tests, verdict, known, looks, [], as_of=as_of, settings=DEFAULT).review
        if late is not None and any(late[0] < look <= as_of for look in looked):
            late = None
        if found is None:
            continue
        days = (as_of - found).days
        assert late is None or days >= late[1] + (as_of - late[0]).days
        late = (as_of, days) if days > 0 else None


@pytest.mark.parametrize(
    ("kind", "begins", "ends", "held"),
    [
        ("illness", "06-10", None, True),
        ("illness", "06-10", "06-16", True),
        ("illness", "06-10", "06-15", False),
        ("injury", "06-10", None, True),
        ("injury", "06-10", "06-29", False),
        ("injury", "07-01", None, False),
        ("layoff", "06-10", None, False),
    ],
)
@pytest.mark.parametrize("tests", [[], [day("05-05")], [day("06-28")]])
def test_no_test_is_due_while_an_illness_or_injury_holds_it_back(
    tests: list[dt.date], kind: EventKind, begins: str, ends: str | None, held: bool
) -> None:
    event = Event(from_date=day(begins), to_date=day(ends) if ends else None, swimmer=SWIMMER, kind=kind)
    on, off = (
        due(tests, None, [], [], [event], as_of=AS_OF, settings=replace(DEFAULT, health=health))
        for health in (True, False)
    )
    assert off == due(tests, None, [], [], [], as_of=AS_OF, settings=DEFAULT)
    assert on == replace(off, test=None if held else off.test, held=held)
    assert on.test_due(AS_OF) is (not held and tests != [day("06-28")])
    assert ("test due" in attention(None, None, on, (), as_of=AS_OF).grounds) is on.test_due(AS_OF)
