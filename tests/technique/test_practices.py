"""Phrases as coaches type them: which call for which caution, and which look alike and call for none.

The phrases are ours; the words they are told by are common practice, no source. Breath-holding: joint
statement of the American Red Cross and the YMCA, 2015. Paddles, kickboard and resistance on sore
shoulders: McMaster & Troup 1993.
"""

from __future__ import annotations

import pytest

from tracker.technique.practices import codes_of, folded, site_of

CALL_FOR = {
    "breath": (
        "underwater 25s no breath",
        "hold your breath for six strokes",
        "Hold your breath",
        "breath-hold 10 s, three times",
        "25 m underwater",
        "swim two lengths under water",
        "underwater dolphin kick to 15 m",
        "8 x 25 underwaters",
        "hypoxic 50s",
        "HYPOXIC set",
        "hypóxic ladder",
        "no breath into the flags",
        "don't breathe for the last 10 m",
        "breathe every 7",
        "breathing every fifth stroke",
        "3/5/7 breathing",
        "3/5 breathing pattern, always comfortable",
        "seven strokes per breath",
        "one breath per length",
        "breathe once a length",
        "sprint 25 without breathing",
        "lung busters",
        "hyperventilate, then go",
        "ten deep breaths before the start",
        "restricted breathing",
        "breath control 4 x 50",
        "apnoea walk",
        "fewer breaths each length",
        "never stop: no breath at all",
        "sit on the bottom for 30 s",
    ),
    "shoulder": (
        "paddles",
        "pull with paddles",
        "hand paddles and buoy",
        "10x100 Paddles @ 1:40",
        "paddle feel",
        "stretch band pulls",
        "resistance bands",
        "band only, 8 x 25",
        "tethered swimming",
        "parachute 4 x 25",
        "drag shorts",
        "pull set",
        "6 x 200 pull",
        "pull buoy 400",
        "pull with buoy",
        "pull 10 x 50",
        "single-arm fly",
        "one arm freestyle",
        "left arm only",
        "kickboard sprints",
        "pull-ups and push-ups",
        "weights twice a week",
        "sore shoulder, went on",
        "shoulder still hurts",
    ),
    "maximal-effort": (
        "all out 50",
        "4 x 25 max",
        "maximal sprint",
        "all-out swim to failure",
        "time trial",
        "as fast as you can",
        "100 % effort",
        "flat-out, 8 times",
        "sprints off the wall",
        "max effort 200",
        "full gas",
        "RPE 10",
        "lactate set",
        "swim to exhaustion",
    ),
    "open-water": (
        "open water swim",
        "Open-Water sighting",
        "OW",
        "in the lake",
        "sea, choppy",
        "cold water dip",
        "river, against the stream",
        "14 °C, wind",
        "water 12 degrees",
        "winter swimming",
        "ice bath",
        "54 F",
        "unheated pool",
        "reservoir lap",
    ),
    "alone": (
        "swim alone at six",
        "on your own before work",
        "by herself, early",
        "solo long swim",
        "no lifeguard on duty",
        "unsupervised lane",
        "nobody watching",
        "without a lifeguard",
        "never without a lifeguard",
        "not with nobody watching",
    ),
}

CALL_FOR_NOTHING = (
    "fingertips down early",
    "scull in front",
    "breathless after 400",
    "breathlessness",
    "breathe out under water",
    "exhale underwater, blow bubbles",
    "breathe every 3",
    "breathe to both sides",
    "don't breathe to the left",
    "no breath-holding",
    "never hold your breath",
    "breath late, one goggle in",
    "take a breath when you need one",
    "watch the underwater clip",
    "elbow high under water",
    "underwater recovery",
    "no paddles",
    "without paddles or bands",
    "dog paddle",
    "doggy paddle, slow",
    "paddle board across the pool",
    "head band loose",
    "heart rate band 2",
    "pull straight back",
    "long pull path",
    "pull through to the hip",
    "one arm always in front",
    "roll the shoulders together",
    "shoulder to chin",
    "feel the resistance of the water",
    "least resistance",
    "board meeting",
    "press the buoy",
    "maximum reach",
    "max length each stroke",
    "not all out",
    "never sprint",
    "all outside lanes",
    "sprinter",
    "100 % relaxed",
    "seal kick",
    "sea level",
    "in the water 2 times a week",
    "season start",
    "cold muscles, warm up first",
    "elbow at 12 degrees",
    "32 C, warm",
    "lakeside pool, 25 m",
    "never alone",
    "not on your own",
    "let the arm alone",
    "on your own pace",
    "standalone drill",
    "soloist",
    "underwear race",
    "6-kick switch",
    "side kick",
    "swimming along the line with fins",
    "vertical kick",
    "counted one length too few",
    "",
    "  ",
    "水の中",
)

BOTH = {
    "all out 25 m underwater, alone": {"maximal-effort", "breath", "alone"},
    "paddles in the lake": {"shoulder", "open-water"},
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
    }
    for code, phrases in CALL_FOR.items():
        for phrase in phrases:
            assert set(codes_of([phrase])) == known.get(phrase, {code}), folded(phrase)


def test_several_texts_bring_each_caution_once() -> None:
    assert codes_of(["paddles", "paddles again", "hold your breath"]) == ("shoulder", "breath")


@pytest.mark.parametrize(
    ("note", "site"),
    [
        ("ankle sprain", "leg"),
        ("left Knee", "leg"),
        ("Schulter / shoulder", "shoulder"),
        ("rotator cuff", "shoulder"),
        ("ankle and shoulder after a fall", "shoulder"),
        ("elbow", "unknown"),
        ("foot and wrist", "unknown"),
        ("", "unknown"),
        ("fell off the bike", "unknown"),
    ],
)
def test_an_injury_is_placed_by_its_words_and_nowhere_without(note: str, site: str) -> None:
    assert site_of(note) == site
