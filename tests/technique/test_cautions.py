"""Which cautions apply: what is logged about health holds back, and nothing else does."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from tests.technique.build import SWIMMER, day
from tracker.model.catalogue import catalogue
from tracker.model.event import Event
from tracker.model.event_kinds import EventKind, kind_of
from tracker.model.vocabularies import BodyPart
from tracker.settings import DEFAULT
from tracker.technique.cautions import codes_for, codes_of_event, ordered
from tracker.technique.held_back import HeldBack, held_back

ON = day("06-30")
SORE = HeldBack(injuries=frozenset({BodyPart.SHOULDER}))
HURT = HeldBack(injuries=frozenset({BodyPart.UNKNOWN}))
LAME = HeldBack(injuries=frozenset({BodyPart.ANKLE}))


def an_event(kind: EventKind, begins: str, ends: str | None = None) -> Event:
    note = "sore shoulder" if kind == "injury" else ""
    ends_on = day(ends) if ends else None
    return Event(from_date=day(begins), to_date=ends_on, swimmer=SWIMMER, kind=kind, note=note)


@pytest.mark.parametrize(
    ("event", "health"),
    [
        (an_event("injury", "06-01"), SORE),
        (an_event("injury", "06-01", "06-30"), SORE),
        (an_event("injury", "06-01", "06-29"), HeldBack()),
        (an_event("injury", "07-01"), HeldBack()),
        (an_event("illness", "06-01", "06-16"), HeldBack(ill=True)),
        (an_event("illness", "06-01", "06-15"), HeldBack()),
        (an_event("layoff", "06-01"), HeldBack()),
    ],
)
def test_an_injury_lasts_to_its_end_and_an_illness_two_weeks_longer(event: Event, health: HeldBack) -> None:
    assert held_back([event], ON, settings=replace(DEFAULT, health=True)) == health
    assert held_back([event], ON, settings=DEFAULT) == HeldBack()
    assert health.may_test is (health == HeldBack())


def test_drills_that_load_the_shoulder_are_out_while_it_is_sore() -> None:
    drills = (
        "pull with paddles",
        "Pull with buoy",
        "kickboard sprints",
        "scull",
        "single arm",
        "fist",
        "side kick",
    )
    for hurt in (SORE, HURT):
        assert [hurt.may_do(drill) for drill in drills] == [False] * 5 + [True, True]
    assert all(HeldBack().may_do(drill) for drill in drills)


def test_a_hurt_leg_takes_no_shoulder_drill_away_and_brings_no_word_of_the_shoulder() -> None:
    assert LAME.may_do("pull with paddles")
    assert codes_for((), ("centre snorkel swim",), LAME, tests=False) == ("see-a-professional",)
    assert codes_for((), ("centre snorkel swim",), HURT, tests=False) == ("see-a-professional",)
    assert codes_for((), ("side kick",), SORE, tests=False) == ("see-a-professional", "shoulder")
    assert not LAME.may_test


@pytest.mark.parametrize(
    ("kind", "note", "codes"),
    [
        ("injury", "ankle sprain", ("see-a-professional",)),
        ("injury", "", ("see-a-professional",)),
        ("injury", "left shoulder", ("see-a-professional", "shoulder")),
        ("illness", "flu", ("see-a-professional", "after-illness")),
        ("camp", "two swims a day in the lake", ("open-water",)),
        ("layoff", "moved house", ()),
    ],
)
def test_an_event_calls_for_what_its_kind_and_its_words_say(
    kind: str, note: str, codes: tuple[str, ...]
) -> None:
    assert codes_of_event(kind_of(kind), note) == codes


def test_every_fault_keeps_a_drill_for_a_sore_shoulder() -> None:
    for entry in catalogue():
        assert any(SORE.may_do(drill) for drill in entry.drills)


def test_paddles_are_cautioned_against_only_where_they_are_used() -> None:
    assert codes_for((), ("scull",), HeldBack(), tests=False) == ("shoulder",)
    assert codes_for((), ("paddle feel",), HeldBack(), tests=False) == ("paddles",)


def test_the_gravest_comes_first_and_each_once() -> None:
    both = HeldBack(injuries=SORE.injuries, ill=True)
    found = codes_for(("breath",), ("paddles",), both, tests=False)
    assert found == ("see-a-professional", "after-illness", "breath", "shoulder", "paddles")
    assert codes_for((), ("all out",), HeldBack(), tests=True) == ("maximal-test",)
    assert codes_for((), ("all out",), HeldBack(), tests=False) == ("maximal-effort",)
    assert ordered(["breath", "nonsense", "breath"]) == ("breath",)


def injured(part: str = "", note: str = "") -> Event:
    return Event(from_date=day("06-01"), swimmer=SWIMMER, kind="injury", body_part=part, note=note)


@pytest.mark.parametrize(
    ("event", "parts", "arms_rest"),
    [
        (injured("shoulder"), {"shoulder"}, True),
        (injured("elbow"), {"elbow"}, True),
        (injured("back"), {"back"}, True),
        (injured("knee"), {"knee"}, False),
        (injured("ankle", "and the shoulder, from the fall"), {"ankle", "shoulder"}, True),
        (injured("hip", "slipped"), {"hip"}, False),
        (injured("", "impingement"), {"shoulder"}, True),
        (injured(), {""}, True),
    ],
)
def test_the_body_part_and_the_note_say_what_rests(event: Event, parts: set[str], arms_rest: bool) -> None:
    found = held_back([event], ON, settings=replace(DEFAULT, health=True))
    assert found.injuries == parts
    assert found.arms_rest is arms_rest
    assert found.may_do("pull with paddles") is not arms_rest
    assert not found.may_test
    assert not found.may_swim_sets


def test_a_body_part_of_an_event_that_is_logged_brings_its_caution() -> None:
    found = codes_of_event(EventKind.INJURY, "", BodyPart.SHOULDER)
    assert found == ("see-a-professional", "shoulder")
    assert codes_of_event(EventKind.INJURY, "", BodyPart.KNEE) == ("see-a-professional",)


@pytest.mark.parametrize(
    ("begins", "ends", "note", "pregnant"),
    [
        ("05-01", None, "pregnant, feels well", True),
        ("05-01", "06-29", "pregnant", False),
        ("07-01", None, "pregnant", False),
        ("05-01", None, "not pregnant", False),
        ("05-01", None, "", False),
    ],
)
def test_a_pregnancy_that_is_written_down_holds_tests_back(
    begins: str, ends: str | None, note: str, pregnant: bool
) -> None:
    """Health on or off: the note of such an event stands in every list as it is."""
    ends_on = day(ends) if ends else None
    event = Event(from_date=day(begins), to_date=ends_on, swimmer=SWIMMER, kind="other", note=note)
    for settings in (DEFAULT, replace(DEFAULT, health=True)):
        found = held_back([event], ON, settings=settings)
        assert (found.pregnant, found.may_test) == (pregnant, not pregnant)
    assert held_back([], ON, settings=DEFAULT, notes=("expecting a baby",)).pregnant
    late = dt.date(2027, 6, 30)
    assert not held_back([event], late, settings=DEFAULT).pregnant


@pytest.mark.parametrize(("born", "child"), [(2015, True), (2008, True), (2007, False), (None, False)])
def test_somebody_who_may_be_under_18_swims_no_adult_sets_and_tests_once_in_four_weeks(
    born: int | None, child: bool
) -> None:
    """Common practice, no source: no published limit was found."""
    found = held_back([], ON, settings=DEFAULT, born=born)
    assert found.child is child
    assert found.may_test
    assert found.may_swim_sets is not child
    assert found.days_between_tests(7) == (28 if child else 7)
    assert found.days_between_tests(60) == 60
    assert ("child" in codes_for((), (), found, tests=True)) is child
