"""A drill is never offered against what it provokes, nor to a swimmer for whom it feeds an open fault."""

from __future__ import annotations

import pytest

from tests.technique.test_next_step import CATALOGUE, a_work, proposed
from tracker.model.catalogue import Fault, catalogue, drills, fault
from tracker.technique.cautions import drill_can_provoke

KNOWN = {drill.name: drill for drill in drills()}
OFFERED = [(entry, drill) for entry in catalogue() for drill in entry.drills]


def test_every_drill_of_the_catalogue_says_what_it_provokes_and_none_is_idle() -> None:
    assert len(KNOWN) == len(drills())
    assert set(KNOWN) == {drill for _, drill in OFFERED}
    assert {slug for drill in drills() for slug in drill.provokes} <= set(CATALOGUE)


@pytest.mark.parametrize(("entry", "drill"), OFFERED, ids=lambda one: getattr(one, "slug", one))
def test_no_fault_is_answered_by_a_drill_that_provokes_it(entry: Fault, drill: str) -> None:
    assert entry.slug not in KNOWN[drill].provokes


@pytest.mark.parametrize(
    ("slug", "drill"),
    [
        ("breath-held", "3/5 breathing pattern, always comfortable"),
        ("stroke-pausing", "one hand still ahead when the other enters"),
        ("body-over-rotated", "side kick"),
        ("body-over-rotated", "6-kick switch"),
        ("stroke-pausing", "catch-up"),
    ],
)
def test_what_a_coach_knows_each_to_provoke(slug: str, drill: str) -> None:
    """Common practice, no source."""
    assert slug in KNOWN[drill].provokes


@pytest.mark.parametrize(
    ("slug", "was"), [("stroke-pausing", "front-quadrant swimming"), ("head-deep", "chest-press balance")]
)
def test_a_drill_is_known_by_the_name_it_had_before(slug: str, was: str) -> None:
    """Records keep the words in which it was written down."""
    assert drill_can_provoke(CATALOGUE[slug], was)
    assert was not in KNOWN


@pytest.mark.parametrize("name", ["1-2 count", "half-pull", "paddle feel"])
def test_a_drill_whose_name_explains_nothing_says_what_to_do(name: str) -> None:
    assert KNOWN[name].how.endswith(".")


@pytest.mark.parametrize("fed", [entry.slug for entry in catalogue()])
@pytest.mark.parametrize("severity", [1, 3])
def test_nobody_is_offered_a_drill_that_feeds_an_open_fault(fed: str, severity: int) -> None:
    for entry in catalogue():
        if entry.slug == fed:
            continue
        step = proposed(f"02-10 open {entry.slug} 2", f"02-10 open {fed} {severity}")
        for one in (step.first, step.second):
            if one is not None and one.drill:
                assert fed not in KNOWN[one.drill].provokes
                assert entry.slug not in KNOWN[one.drill].provokes


def test_a_held_breath_gets_no_breathing_pattern_and_a_pause_no_waiting_in_front() -> None:
    held = proposed("02-10 open breath-held 2")
    assert held.first is not None
    assert held.first.drill == "bobs at the wall, breathing out all the while"
    tried = [a_work(held.first.drill, "breath-held", "02-15", "03-30", kind="drill")]
    again = proposed("02-10 open breath-held 2", work=tried)
    assert again.first is not None
    assert again.first.drill == "side kick with a breath"
    pause = proposed("02-10 open stroke-pausing 2")
    assert pause.first is not None
    assert pause.first.drill == "tempo swimming, a little quicker"


def test_catch_up_is_passed_over_only_while_the_pause_is_open() -> None:
    tried = [a_work("wide entry", "entry-crossing", "02-15", "03-30", kind="drill")]
    crossing = "02-10 open entry-crossing 3"
    for other, drill in (
        ("2025-06-01 open stroke-pausing 1", "single arm"),
        ("2025-06-01 open head-deep 1", "catch-up"),
    ):
        step = proposed(crossing, other, work=tried)
        assert step.first is not None
        assert (step.first.fault, step.first.drill) == ("entry-crossing", drill)
    parked = proposed(crossing, "2025-06-01 open stroke-pausing 1", "04-01 parked stroke-pausing", work=tried)
    over = proposed(
        crossing, "2025-06-01 open stroke-pausing 1", "04-01 corrected stroke-pausing Mika", work=tried
    )
    assert [one.first.drill for one in (parked, over) if one.first] == ["single arm", "catch-up"]


def test_a_drill_in_use_that_feeds_the_fault_is_to_stop_and_is_not_proposed_on() -> None:
    running = [a_work("Catch-up, 8 x 25 m", "stroke-pausing", kind="drill")]
    step = proposed("02-10 open stroke-pausing 2", work=running)
    assert step.first is not None
    assert step.first.drill == "tempo swimming, a little quicker"
    assert [ending.text for ending in step.first.stop] == ["Catch-up, 8 x 25 m"]


def test_a_drill_in_use_against_one_fault_is_to_stop_once_it_feeds_another() -> None:
    """Catch-up against a crossing hand, and meanwhile the swimmer pauses in front."""
    running = [a_work("catch-up", "entry-crossing", kind="drill")]
    step = proposed("02-10 open entry-crossing 3", "2025-06-01 open stroke-pausing 1", work=running)
    assert step.first is not None
    assert (step.first.fault, step.first.drill) == ("entry-crossing", "wide entry")
    assert [(one.kind, one.text, one.fault) for one in step.first.stop] == [
        ("drill", "catch-up", "stroke-pausing")
    ]


@pytest.mark.parametrize(
    ("slug", "text", "can"),
    [
        ("stroke-pausing", "catch-up", True),
        ("stroke-pausing", "catch up drill", True),
        ("stroke-pausing", "no catch-up", False),
        ("breath-held", "breathing every 5", True),
        ("breath-held", "3/5 breathing pattern", True),
        ("sighting-high", "sighting once a length in the pool", False),
        ("exit-early", "half-pull with fist", True),
        ("exit-early", "fist", False),
    ],
)
def test_what_is_typed_as_a_drill_is_known_by_its_words(slug: str, text: str, can: bool) -> None:
    assert drill_can_provoke(fault(slug), text) is can
