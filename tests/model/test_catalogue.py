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
def test_a_measure_has_words_and_no_limit(entry: cat.Measure) -> None:
    """No published value was found that a reading could be judged by: 100 to 120 deg is what coaches say."""
    assert not any(type(value) in {int, float} for value in vars(entry).values())
    assert entry.norm
    assert entry.source


def test_no_cost_is_called_measured_that_was_not_measured_in_swimming() -> None:
    """Towed 60 cm under the surface, gliding: near a high head, not it. So of the others."""
    assert [entry.slug for entry in cat.catalogue() if entry.cost_known == "measured"] == []
    high = cat.fault("head-high")
    assert high.cost_known == "indirect"
    assert "60 cm under" in high.cost
    assert "gliding" in high.cost


@pytest.mark.parametrize("slug", ["breath-lift", "sighting-high"])
def test_a_head_lifted_to_breathe_or_sight_is_not_measured_between_two_breaths(slug: str) -> None:
    assert "between two breaths" in cat.measure("crown-height").how
    assert "crown-height" not in cat.fault(slug).measures


def test_the_twins_of_roll_rest_on_one_named_study() -> None:
    for slug in ("body-flat", "body-over-rotated"):
        assert cat.fault(slug).cost_known == "none"
        assert "Psycharakis & Sanders 2008" in cat.fault(slug).cost_source


@pytest.mark.parametrize(
    ("slug", "words"),
    [
        ("ankles-stiff", "one bout of stretching"),
        ("sighting-high", "2 % slower"),
        ("breath-late", "3 % slower"),
        ("breath-lift", "3 % slower"),
        ("legs-low", "16.9-18.5 %"),
        ("kick-hard", "-1±4 %"),
        ("stroke-pausing", "cost more energy"),
        ("arms-uneven", "6.7-35.7 %"),
        ("elbow-dropped", "r -0.59"),
    ],
)
def test_a_cost_says_what_was_found_and_where(slug: str, words: str) -> None:
    assert words in cat.fault(slug).cost


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
