"""The catalogue is complete, in the agreed order, and claims nothing without its source."""

from __future__ import annotations

import re

import pytest

from tracker.errors import UnknownNameError
from tracker.model import catalogue as cat
from tracker.model.fault import OwnFault
from tracker.technique.practices import codes_of

FAULTS = [
    "head-deep",
    "head-high",
    "legs-low",
    "breath-lift",
    "breath-late",
    "breath-held",
    "entry-crossing",
    "entry-steep",
    "entry-thumb-first",
    "reach-short",
    "catch-deep",
    "catch-pressing",
    "elbow-dropped",
    "pull-straight",
    "pull-crossing",
    "exit-early",
    "recovery-low",
    "body-flat",
    "body-over-rotated",
    "hips-loose",
    "kick-wide",
    "kick-knees",
    "kick-hard",
    "ankles-stiff",
    "stroke-pausing",
    "arms-uneven",
    "sighting-high",
    "arm-collapsing",
    "breath-one-side",
    "push-off-loose",
    "turn-slow",
    "rate-low",
    "rate-high",
]

UNITS = {
    "elbow-angle": "deg",
    "hand-depth": "cm",
    "elbow-over-line": "cm",
    "entry-angle": "deg",
    "entry-offset": "cm",
    "crown-height": "cm",
    "body-angle": "deg",
    "shoulder-roll": "deg",
    "hip-roll": "deg",
    "kick-depth": "cm",
    "ankle-flexion": "deg",
    "coordination-index": "%",
}

AREAS = (
    "body-line",
    "breathing",
    "entry",
    "catch",
    "pull",
    "recovery",
    "rotation",
    "kick",
    "rhythm",
    "walls",
)

CARE = {"shoulder", "paddles", "breath", "neck", "open-water"}


def test_all_faults_stand_in_their_agreed_order() -> None:
    assert [entry.slug for entry in cat.catalogue()] == FAULTS
    assert list(cat.catalogue_order()) == FAULTS


def test_areas_are_those_of_a_review_with_five_different_steps_each() -> None:
    assert tuple(entry.slug for entry in cat.areas()) == AREAS
    steps = [step for entry in cat.areas() for step in entry.steps]
    assert all(len(entry.steps) == 5 for entry in cat.areas())
    assert len(set(steps)) == len(steps) == 50


def test_measures_have_their_units() -> None:
    assert {entry.slug: entry.unit for entry in cat.measures()} == UNITS


@pytest.mark.parametrize("entry", cat.catalogue(), ids=lambda entry: entry.slug)
def test_every_fault_is_complete(entry: cat.Fault) -> None:
    assert entry.name
    assert entry.view
    assert entry.look
    assert entry.norm
    assert entry.cost
    assert entry.area in AREAS
    assert set(entry.measures) <= set(UNITS)
    assert entry.cues
    assert entry.drills
    assert entry.provoked_by
    assert entry.answers in {"quick", "medium", "slow"}
    assert set(entry.care) <= CARE
    assert not entry.park or entry.park_why
    assert not entry.own


@pytest.mark.parametrize("entry", cat.catalogue(), ids=lambda entry: entry.slug)
def test_a_cost_is_either_sourced_or_not_known(entry: cat.Fault) -> None:
    """A known cost names a source with a year; an unknown one says so first."""
    if entry.cost_known == "none":
        assert entry.cost.startswith(cat.NOT_KNOWN)
    else:
        assert re.search(r"(19|20)\d\d|published", entry.cost_source)
        assert re.search(r"\d", entry.cost)
        assert not entry.cost.startswith(cat.NOT_KNOWN)


@pytest.mark.parametrize("entry", [*cat.catalogue()], ids=lambda entry: entry.slug)
def test_a_norm_says_where_it_comes_from(entry: cat.Fault) -> None:
    assert entry.norm_source in {"common practice", cat.NO_NORM}
    if entry.norm_source == cat.NO_NORM:
        assert entry.norm.startswith("no norm") or entry.norm.startswith("no target")


@pytest.mark.parametrize("entry", cat.measures(), ids=lambda entry: entry.slug)
def test_a_number_in_a_norm_has_a_source_and_no_norm_has_no_number(entry: cat.Measure) -> None:
    numbers = [entry.low, entry.high, entry.clear_high]
    if entry.source == cat.NO_NORM:
        assert numbers == [None, None, None]
        assert entry.reading(1.0) == "no norm"
    else:
        assert entry.source == "common practice"


def test_readings_of_the_three_norms_that_have_numbers() -> None:
    """Elbow 100-120 deg, depth clearly deep from 15 cm, elbow on the line: common practice, no source."""
    elbow, depth, line = map(cat.measure, ("elbow-angle", "hand-depth", "elbow-over-line"))
    assert [elbow.reading(v) for v in (99, 100, 120, 121)] == ["outside", "inside", "inside", "outside"]
    assert [depth.reading(v) for v in (-3, 14.9, 15)] == ["not clearly outside"] * 2 + ["outside"]
    assert [line.reading(v) for v in (-1, 0, 4)] == ["outside", "inside", "inside"]


def test_breath_drills_are_never_hypoxic_and_fewer_breaths_carry_their_caution() -> None:
    for entry in cat.catalogue():
        if any("breath" in drill for drill in entry.drills) and "sighting" not in entry.slug:
            fewer = [drill for drill in entry.drills if "3/5" in drill]
            assert all("breath" in codes_of([drill]) for drill in fewer)
            assert not any("hypox" in drill for drill in entry.drills)


def test_paddles_are_never_suggested_without_the_caution() -> None:
    for entry in cat.catalogue():
        if any("paddle" in drill for drill in entry.drills):
            assert "paddles" in codes_of(entry.drills)


def test_what_is_slow_or_only_a_choice_is_proposed_for_parking() -> None:
    """Stiff ankles: slow to change. One side: may be a choice only (common practice, no source)."""
    assert [entry.slug for entry in cat.catalogue() if entry.park] == ["ankles-stiff", "breath-one-side"]


@pytest.mark.parametrize("entry", cat.catalogue(), ids=lambda entry: entry.slug)
def test_a_fault_that_is_read_by_sides_has_sides(entry: cat.Fault) -> None:
    """What is read left and right can be recorded so, but for faults of the whole body."""
    whole = {"hips-loose", "arms-uneven", "rate-low"}
    read_by_side = any(cat.measure(slug).sided for slug in entry.measures)
    assert entry.sided or not read_by_side or entry.slug in whole


def test_an_own_fault_stands_after_the_built_in_ones_and_admits_what_it_does_not_know() -> None:
    own = OwnFault(fault="own-thumb-out", name="thumb sticks out", cues="Thumb along.\nSoft hand.")
    merged = cat.full_catalogue([own])
    assert merged[:-1] == cat.catalogue()
    assert merged[-1] == cat.fault("own-thumb-out", [own])
    assert merged[-1].own
    assert (merged[-1].norm, merged[-1].cost) == (cat.NO_NORM, cat.NOT_KNOWN)
    assert merged[-1].cues == ("Thumb along.", "Soft hand.")


def test_an_unknown_name_brings_the_nearest() -> None:
    with pytest.raises(UnknownNameError) as caught:
        cat.fault("catch-deap")
    assert caught.value.nearest[0] == "catch-deep"
    with pytest.raises(UnknownNameError) as caught:
        cat.fault("elbow drops")
    assert caught.value.nearest == ("elbow-dropped",)
    with pytest.raises(UnknownNameError):
        cat.area("balance")
    with pytest.raises(UnknownNameError):
        cat.measure("elbow")
