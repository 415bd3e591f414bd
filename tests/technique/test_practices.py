"""Every practice that can hurt is recognised by its words, wherever they stand, and nothing else is."""

from __future__ import annotations

import pytest

from tests.technique.practice_phrases import CALL_FOR, CALL_FOR_NOTHING
from tracker.model.catalogue import catalogue
from tracker.model.practices import Caution, body_part_words, practices
from tracker.model.vocabularies import BodyPart
from tracker.technique.practices import codes_of, folded, loads, parts_in

BOTH = {
    "all out 25 m underwater, alone": {"maximal-effort", "underwater", "alone"},
    "paddles in the lake": {"paddles", "open-water"},
    "400 pull with paddles": {"shoulder", "paddles"},
    "no paddles, hold your breath": {"breath"},
    "never alone, always with a kayak; open water": {"open-water"},
}


@pytest.mark.parametrize(
    ("phrase", "code"), [(phrase, code) for code, phrases in CALL_FOR.items() for phrase in phrases]
)
def test_a_practice_that_can_hurt_calls_for_its_caution(phrase: str, code: str) -> None:
    assert code in codes_of([phrase]), folded(phrase)


@pytest.mark.parametrize("phrase", CALL_FOR_NOTHING)
def test_what_only_looks_alike_calls_for_none(phrase: str) -> None:
    assert codes_of([phrase]) == (), folded(phrase)


@pytest.mark.parametrize(("phrase", "codes"), BOTH.items())
def test_a_phrase_calls_for_exactly_what_is_in_it(phrase: str, codes: set[str]) -> None:
    assert set(codes_of([phrase])) == codes, folded(phrase)


def test_no_phrase_of_one_caution_brings_one_that_is_not_in_its_words() -> None:
    """Those in which two things are named are few, and known."""
    known = {
        "sprint 25 without breathing": {"breath", "maximal-effort"},
        "kickboard sprints": {"shoulder", "maximal-effort"},
        "underwater 25s no breath": {"breath", "underwater"},
        "Open-Water sighting": {"open-water", "neck"},
        "single-arm with fins": {"shoulder", "fins"},
    }
    for code, phrases in CALL_FOR.items():
        for phrase in phrases:
            assert set(codes_of([phrase])) == known.get(phrase, {code}), folded(phrase)


def test_several_texts_bring_each_caution_once() -> None:
    assert codes_of(["paddles", "paddles again", "hold your breath"]) == ("paddles", "breath")


@pytest.mark.parametrize(
    ("note", "parts"),
    [
        ("ankle sprain", {"ankle"}),
        ("left Knee", {"knee"}),
        ("Schulter / shoulder", {"shoulder"}),
        ("rotator cuff", {"shoulder"}),
        ("ankle and shoulder after a fall", {"ankle", "shoulder"}),
        ("elbow", {"elbow"}),
        ("foot and wrist", {"ankle", "wrist"}),
        ("", set()),
        ("fell off the bike", set()),
    ],
)
def test_an_injury_is_placed_by_its_words_and_nowhere_without(note: str, parts: set[str]) -> None:
    assert parts_in(note) == parts


def test_the_table_holds_every_caution_once_the_gravest_first() -> None:
    assert tuple(practices()) == tuple(Caution)
    assert set(body_part_words().values()) == set(BodyPart) - {BodyPart.UNKNOWN}


@pytest.mark.parametrize("code", Caution)
def test_every_practice_has_one_line_and_says_where_it_comes_from(code: Caution) -> None:
    """A line without a source of its own says "common practice, no source"."""
    practice = practices()[code]
    assert practice.what
    assert practice.line.endswith(".")
    assert "\n" not in practice.line
    assert any(char.isdigit() for char in practice.source) or "common practice" in practice.source
    assert practice.words or code in {Caution.SEE_A_PROFESSIONAL, Caution.MAXIMAL_TEST}


def test_there_are_two_hundred_phrases_and_near_misses_among_them() -> None:
    positive = [phrase for phrases in CALL_FOR.values() for phrase in phrases]
    assert len({*positive, *CALL_FOR_NOTHING}) >= 200
    assert len(CALL_FOR_NOTHING) >= 80
    silent = {Caution.SEE_A_PROFESSIONAL, Caution.MAXIMAL_TEST}
    assert {Caution(code) for code in CALL_FOR} == set(Caution) - silent


LOADS = {
    "single arm": "shoulder",
    "scull": "shoulder",
    "high-elbow scull": "shoulder",
    "vertical scull": "shoulder",
    "pull with buoy": "shoulder",
    "fist": "shoulder",
    "half-pull": "shoulder",
    "fingertip drag": "shoulder",
    "zip-up": "shoulder",
    "catch-up": "shoulder",
    "side kick": "shoulder",
    "kick on the side": "shoulder",
    "vertical kick": "vertical-kick",
    "short fins": "fins",
    "swimming along the line with fins": "fins",
    "paddle feel": "paddles",
    "3/5 breathing pattern, always comfortable": "breath",
    "sighting once a length in the pool": "neck",
}
"""Drills of the catalogue that load something, as coaches have it (common practice, no source)."""


@pytest.mark.parametrize("entry", catalogue(), ids=lambda entry: entry.slug)
def test_a_drill_brings_the_same_caution_under_every_fault(entry) -> None:
    """`single arm` once had its caution under three faults and lacked it under four."""
    for text in (*entry.drills, *entry.cues):
        known = next((code for drill, code in LOADS.items() if text.startswith(drill)), None)
        assert codes_of([text]) == (() if known is None else (known,)), text
    assert not set(entry.care) & {"shoulder", "paddles", "breath"}, "its words bring them"


def test_the_walk_meets_the_drills_it_is_about() -> None:
    drills = {drill for entry in catalogue() for drill in entry.drills}
    assert {"single arm", "high-elbow scull"} <= drills
    assert sum("single arm" in entry.drills for entry in catalogue()) >= 5


def test_a_drill_that_loads_lightly_is_cautioned_but_not_barred() -> None:
    for drill in ("fist", "fingertip drag", "zip-up", "half-pull"):
        assert codes_of([drill]) == ("shoulder",)
        assert not loads(drill, Caution.SHOULDER)
    assert all(loads(drill, Caution.SHOULDER) for drill in ("scull", "single arm", "pull with buoy"))
