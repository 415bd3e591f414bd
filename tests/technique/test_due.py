"""When the next test and the next look are due."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.technique.build import SWIMMER, a_verdict, day, steps
from tests.technique.test_rule import STEPS
from tracker.engine.verdict.verdict import Word
from tracker.model.event import Event
from tracker.model.event_kinds import EventKind
from tracker.model.fault import FaultStep
from tracker.model.swimmer import Swimmer
from tracker.settings import DEFAULT
from tracker.technique.attention import attention
from tracker.technique.due import Due, due
from tracker.technique.rhythm import Habits, Rhythm, RhythmFrom

AS_OF = day("06-30")


def test_the_next_test_is_a_week_after_the_last() -> None:
    found = due([day("06-28")], a_verdict("gaining"), [], [], [], as_of=AS_OF, settings=DEFAULT)
    assert found == Due(test=day("07-05"), review=None)


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
    assert on.held is held
    assert on == replace(off, test=None if held else off.test, held_by=on.held_by)
    assert on.test_due(AS_OF) is (not held and tests != [day("06-28")])
    assert ("test due" in attention(None, None, on, (), as_of=AS_OF).grounds) is on.test_due(AS_OF)


@pytest.mark.parametrize(
    ("kind", "begins", "ends", "test", "look"),
    [
        ("layoff", "06-10", "07-10", "07-11", "07-11"),
        ("camp", "06-29", "07-04", "07-05", "07-05"),
        ("camp", "07-01", "07-04", "06-29", "06-29"),
        ("layoff", "06-10", "06-29", "06-29", "06-29"),
        ("layoff", "06-10", None, None, None),
        ("layoff", "06-01", None, "06-29", "06-29"),
        ("pool", "06-10", None, "06-29", "06-29"),
    ],
)
def test_nothing_is_asked_for_on_a_day_away(
    kind: EventKind, begins: str, ends: str | None, test: str | None, look: str | None
) -> None:
    """The last span has no end, but a test was swum since it began."""
    event = Event(from_date=day(begins), to_date=day(ends) if ends else None, swimmer=SWIMMER, kind=kind)
    who = Swimmer(swimmer=SWIMMER, test_every=27)
    found = due(
        [day("06-02")], a_verdict(), [], [day("06-01")], [event], who=who, as_of=AS_OF, settings=DEFAULT
    )
    assert found.test == (day(test) if test else None)
    assert found.review == (day(look) if look else None)
    assert found.gone is (test is None)
    assert found.test_due(AS_OF) is (test == "06-29")
    if test is None or test > "06-30":
        assert found.away is not None
        assert not found.may_plan_test
    never = due([], None, [], [], [event], as_of=AS_OF, settings=DEFAULT)
    if kind == "layoff" and begins == "06-01":
        assert never.gone


def test_a_race_right_after_a_camp_and_a_camp_right_after_a_race_are_both_waited_for() -> None:
    camp = Event(from_date=day("07-06"), to_date=day("07-12"), swimmer=SWIMMER, kind="camp")
    found = due([], None, [], [], [a_race("07-05"), camp], as_of=AS_OF, settings=DEFAULT)
    assert (found.test, found.race) == (day("07-13"), day("07-05"))
    assert found.away is not None
    early = Event(from_date=day("06-28"), to_date=day("07-03"), swimmer=SWIMMER, kind="camp")
    found = due([], None, [], [], [early, a_race("07-05")], as_of=AS_OF, settings=DEFAULT)
    assert (found.test, found.race) == (day("07-06"), day("07-05"))


def days_every(days: int, last: str = "06-20", number: int = 6) -> list[dt.date]:
    return [day(last) - dt.timedelta(days=days * place) for place in range(number)]


@pytest.mark.parametrize(
    ("tests", "group", "wanted", "every", "by"),
    [
        (days_every(30), None, None, 30, RhythmFrom.HABIT),
        (days_every(30), 7, None, 30, RhythmFrom.HABIT),
        (days_every(30), None, 7, 7, RhythmFrom.SET),
        (days_every(30, number=3), None, None, 7, RhythmFrom.SETTINGS),
        (days_every(30, number=3), 21, None, 21, RhythmFrom.GROUP),
        (days_every(3), 21, None, 7, RhythmFrom.SETTINGS),
        (days_every(3), None, 3, 3, RhythmFrom.SET),
        (days_every(120), None, None, 91, RhythmFrom.LONGEST),
        ([], 14, None, 14, RhythmFrom.GROUP),
    ],
)
def test_a_rhythm_is_as_wanted_else_by_habit_else_the_groups_else_the_settings(
    tests: list[dt.date], group: int | None, wanted: int | None, every: int, by: RhythmFrom
) -> None:
    """A monthly tester is not "22 days late"; nobody is asked to go on with a test every third day."""
    who = Swimmer(swimmer=SWIMMER, test_every=wanted)
    found = due(tests, None, [], [], [], who=who, group=Habits(group), as_of=AS_OF, settings=DEFAULT)
    assert found.test_every == Rhythm(every, by)
    assert found.test == (max(tests) + dt.timedelta(days=every) if tests else None)


def test_no_rhythm_that_somebody_sets_asks_a_child_sooner_than_once_in_four_weeks() -> None:
    child = Swimmer(swimmer=SWIMMER, born=2014, test_every=7)
    found = due([day("06-20")], None, [], [], [], who=child, as_of=AS_OF, settings=DEFAULT)
    assert found.test == day("07-18")
    assert found.test_every == Rhythm(28, RhythmFrom.AGE)


def test_looks_have_a_rhythm_too_but_a_plateau_is_not_left_unlooked_at_for_a_quarter() -> None:
    def every(gap: int, wanted: int | None = None) -> tuple[Rhythm, dt.date | None]:
        looks = days_every(gap, "06-01")
        who = Swimmer(swimmer=SWIMMER, look_every=wanted)
        found = due(looks, a_verdict(), [], looks, [], who=who, as_of=AS_OF, settings=DEFAULT)
        return found.look_every, found.review

    assert every(42) == (Rhythm(42, RhythmFrom.HABIT), day("07-13"))
    assert every(90) == (Rhythm(56, RhythmFrom.LONGEST), day("07-27"))
    assert every(90, 120) == (Rhythm(120, RhythmFrom.SET), day("09-29"))


def a_race(begins: str, ends: str | None = None) -> Event:
    return Event(from_date=day(begins), to_date=day(ends) if ends else None, swimmer=SWIMMER, kind="race")


@pytest.mark.parametrize(
    ("tested", "races", "test", "race"),
    [
        ("06-28", [("07-20", None)], "07-05", None),
        ("06-28", [("07-19", None)], "07-20", "07-19"),
        ("06-28", [("07-05", None)], "07-06", "07-05"),
        ("06-28", [("07-01", None)], "07-05", "07-01"),
        ("06-01", [("07-01", None)], "07-02", "07-01"),
        ("06-01", [("06-30", None)], "07-01", "06-30"),
        ("06-01", [("06-29", "07-01")], "07-02", "06-29"),
        ("06-01", [("06-29", None)], "06-08", None),
        ("06-01", [("07-15", None)], "06-08", None),
        ("06-01", [("07-14", None)], "07-15", "07-14"),
        ("06-01", [("07-20", None), ("07-08", None)], "07-21", "07-20"),
        ("06-01", [("07-24", None), ("07-08", None)], "07-09", "07-08"),
        (None, [("07-01", None)], "07-02", "07-01"),
    ],
)
def test_no_maximal_test_within_two_weeks_before_a_race_nor_on_its_day(
    tested: str | None, races: list[tuple[str, str | None]], test: str, race: str | None
) -> None:
    """Common practice, no source: not inside the last 10 to 14 days. A race soon after a race holds on."""
    events = [a_race(*one) for one in races]
    days = [day(tested)] if tested else []
    found = due(days, None, [], [], events, as_of=AS_OF, settings=DEFAULT)
    assert (found.test, found.race) == (day(test), day(race) if race else None)


@given(
    st.lists(st.tuples(st.integers(-20, 60), st.integers(0, 3)), max_size=5),
    st.none() | st.integers(-60, 0),
)
def test_no_day_on_which_a_test_is_asked_for_lies_near_before_a_race(
    races: list[tuple[int, int]], last: int | None
) -> None:
    def on(days: int) -> dt.date:
        return AS_OF + dt.timedelta(days=days)

    events = [Event(from_date=on(a), to_date=on(a + n), swimmer=SWIMMER, kind="race") for a, n in races]
    found = due([on(last)] if last is not None else [], None, [], [], events, as_of=AS_OF, settings=DEFAULT)
    asked = [] if found.race else [AS_OF]
    asked += [max(found.test, AS_OF)] if found.test else []
    for begins, length in races:
        for one in asked:
            assert not on(begins - 14) <= one <= on(begins + length)
