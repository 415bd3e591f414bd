"""When the next test and the next look are due."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from tests.faults.build import SWIMMER, a_verdict, day, steps
from tracker.faults.attention import attention
from tracker.faults.due import Due, due
from tracker.records.event import Event
from tracker.records.event_kinds import EventKind
from tracker.settings import DEFAULT

AS_OF = day("06-30")


def test_the_next_test_is_a_week_after_the_last() -> None:
    found = due(day("06-28"), a_verdict("gaining"), [], [], [], as_of=AS_OF, settings=DEFAULT)
    assert found == Due(test=day("07-05"), review=None)


def test_nothing_is_due_for_a_swimmer_who_never_tested() -> None:
    assert due(None, None, [], [], [], as_of=AS_OF, settings=DEFAULT) == Due(None, None)


def test_a_plateau_nobody_looked_at_is_due_four_weeks_after_its_onset() -> None:
    found = due(day("06-28"), a_verdict(since="03-01"), [], [day("02-01")], [], as_of=AS_OF, settings=DEFAULT)
    assert found.review == day("03-29")


def test_a_look_during_the_plateau_puts_the_next_off() -> None:
    looks = [day("06-20"), day("05-01")]
    assert due(day("06-28"), a_verdict(), [], looks, [], as_of=AS_OF, settings=DEFAULT).review == day("07-18")
    seen = steps("06-20 seen head-high 1 Mika")
    assert due(day("06-28"), a_verdict(), seen, [], [], as_of=AS_OF, settings=DEFAULT).review == day("07-18")


def test_a_fault_in_work_is_due_four_weeks_after_work_began_or_the_last_look() -> None:
    known = steps("01-10 open head-high", "06-01 work head-high", "06-08 work head-high")
    gaining = a_verdict("gaining")
    assert due(None, gaining, known, [], [], as_of=AS_OF, settings=DEFAULT).review == day("06-29")
    assert due(None, gaining, known, [day("06-10")], [], as_of=AS_OF, settings=DEFAULT).review == day("07-08")


def test_open_parked_and_corrected_faults_ask_for_no_look() -> None:
    known = steps("01-10 open head-high", "01-10 parked kick-wide", "01-12 corrected catch-deep Mika")
    assert due(None, a_verdict("gaining"), known, [], [], as_of=AS_OF, settings=DEFAULT).review is None


def test_of_two_looks_the_earlier_is_due() -> None:
    """A plateau since March and a fault in work since June, nobody looked: the plateau's comes first."""
    known = steps("01-10 open head-high", "06-01 work head-high")
    assert due(None, a_verdict(since="03-01"), known, [], [], as_of=AS_OF, settings=DEFAULT).review == day(
        "03-29"
    )


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
@pytest.mark.parametrize("last", [None, day("05-05"), day("06-28")])
def test_no_test_is_due_while_an_illness_or_injury_holds_it_back(
    last: dt.date | None, kind: EventKind, begins: str, ends: str | None, held: bool
) -> None:
    event = Event(from_date=day(begins), to_date=day(ends) if ends else None, swimmer=SWIMMER, kind=kind)
    on, off = (
        due(last, None, [], [], [event], as_of=AS_OF, settings=replace(DEFAULT, health=health))
        for health in (True, False)
    )
    assert off == due(last, None, [], [], [], as_of=AS_OF, settings=DEFAULT)
    assert on == (Due(None, None, held=True) if held else off)
    assert on.test_due(AS_OF) is (not held and last != day("06-28"))
    assert ("test due" in attention(None, None, on, (), as_of=AS_OF).grounds) is on.test_due(AS_OF)
