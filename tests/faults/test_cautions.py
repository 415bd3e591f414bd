"""Which cautions apply: what is logged about health holds back, and nothing else does."""

from __future__ import annotations

import pytest

from tests.faults.build import SWIMMER, day
from tracker.faults.cautions import Health, codes_for, health_on, ordered, safe
from tracker.records.catalogue import catalogue
from tracker.records.event import Event
from tracker.records.event_kinds import EventKind

ON = day("06-30")


def an_event(kind: EventKind, begins: str, ends: str | None = None) -> Event:
    return Event(from_date=day(begins), to_date=day(ends) if ends else None, swimmer=SWIMMER, kind=kind)


@pytest.mark.parametrize(
    ("event", "health"),
    [
        (an_event("injury", "06-01"), Health(sore=True)),
        (an_event("injury", "06-01", "06-30"), Health(sore=True)),
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
    assert [safe(drill, Health(sore=True)) for drill in drills] == [False, False, False, True, True]
    assert all(safe(drill, Health()) for drill in drills)


def test_every_fault_keeps_a_drill_for_a_sore_shoulder() -> None:
    for entry in catalogue():
        assert any(safe(drill, Health(sore=True)) for drill in entry.drills)


def test_paddles_are_cautioned_against_only_where_they_are_used() -> None:
    care = ("shoulder", "paddles")
    assert codes_for(care, "scull", Health(), tests=False) == ("shoulder",)
    assert codes_for(care, "paddle feel", Health(), tests=False) == ("shoulder", "paddles")


def test_the_gravest_comes_first_and_each_once() -> None:
    found = codes_for(("breath",), "", Health(sore=True, ill=True), tests=False)
    assert found == ("see-a-professional", "after-illness", "shoulder", "breath")
    assert codes_for((), "", Health(), tests=True) == ("maximal-test",)
    assert ordered(["breath", "nonsense", "breath"]) == ("breath",)
