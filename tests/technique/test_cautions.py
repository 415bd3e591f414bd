"""Which cautions apply: what is logged about health holds back, and nothing else does."""

from __future__ import annotations

import pytest

from tests.technique.build import SWIMMER, day
from tracker.model.catalogue import catalogue
from tracker.model.event import Event
from tracker.model.event_kinds import EventKind, kind_of
from tracker.technique.cautions import Health, codes_for, codes_of_event, health_on, ordered, safe

ON = day("06-30")
SORE = Health(injuries=frozenset({"shoulder"}))
HURT = Health(injuries=frozenset({"unknown"}))
LAME = Health(injuries=frozenset({"leg"}))


def an_event(kind: EventKind, begins: str, ends: str | None = None) -> Event:
    note = "sore shoulder" if kind == "injury" else ""
    ends_on = day(ends) if ends else None
    return Event(from_date=day(begins), to_date=ends_on, swimmer=SWIMMER, kind=kind, note=note)


@pytest.mark.parametrize(
    ("event", "health"),
    [
        (an_event("injury", "06-01"), SORE),
        (an_event("injury", "06-01", "06-30"), SORE),
        (an_event("injury", "06-01", "06-29"), Health()),
        (an_event("injury", "07-01"), Health()),
        (an_event("illness", "06-01", "06-16"), Health(ill=True)),
        (an_event("illness", "06-01", "06-15"), Health()),
        (an_event("layoff", "06-01"), Health()),
    ],
)
def test_an_injury_lasts_to_its_end_and_an_illness_two_weeks_longer(event: Event, health: Health) -> None:
    assert health_on([event], ON, switched_on=True) == health
    assert health_on([event], ON, switched_on=False) == Health()
    assert health.may_test is (health == Health())


def test_drills_that_load_the_shoulder_are_out_while_it_is_sore() -> None:
    drills = ("pull with paddles", "Pull with buoy", "kickboard sprints", "fist", "side kick")
    for hurt in (SORE, HURT):
        assert [safe(drill, hurt) for drill in drills] == [False, False, False, True, True]
    assert all(safe(drill, Health()) for drill in drills)


def test_a_hurt_leg_takes_no_shoulder_drill_away_and_brings_no_word_of_the_shoulder() -> None:
    assert safe("pull with paddles", LAME)
    assert codes_for((), ("fist",), LAME, tests=False) == ("see-a-professional",)
    assert codes_for((), ("fist",), HURT, tests=False) == ("see-a-professional",)
    assert codes_for((), ("fist",), SORE, tests=False) == ("see-a-professional", "shoulder")
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
        assert any(safe(drill, SORE) for drill in entry.drills)


def test_paddles_are_cautioned_against_only_where_they_are_used() -> None:
    care = ("shoulder", "paddles")
    assert codes_for(care, ("scull",), Health(), tests=False) == ("shoulder",)
    assert codes_for(care, ("paddle feel",), Health(), tests=False) == ("shoulder", "paddles")


def test_the_gravest_comes_first_and_each_once() -> None:
    both = Health(injuries=SORE.injuries, ill=True)
    found = codes_for(("breath",), ("paddles",), both, tests=False)
    assert found == ("see-a-professional", "after-illness", "breath", "shoulder")
    assert codes_for((), ("all out",), Health(), tests=True) == ("maximal-test",)
    assert codes_for((), ("all out",), Health(), tests=False) == ("maximal-effort",)
    assert ordered(["breath", "nonsense", "breath"]) == ("breath",)
