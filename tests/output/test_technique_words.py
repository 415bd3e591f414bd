"""Sentences of links' grounds, proposals, effects and looks: each with its numbers."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from tests.technique.build import SWIMMER, a_stretch, day, steps
from tests.technique.test_evidence import AT_90, DRAWN, HELPED_90, LINK, UNKNOWN, UNLIKE
from tests.technique.test_next_step import a_choice, a_work, an_event, proposed
from tracker.model.catalogue import area, areas, catalogue, fault, measures
from tracker.model.practices import Caution
from tracker.output.as_json import effect_json
from tracker.output.cautions import cautions
from tracker.output.sentences.due import NO_TEST
from tracker.output.sentences.effects import each_lines, effect_line, shrunk_lines, unknown_line
from tracker.output.sentences.evidence import (
    change_line,
    ground_sentence,
    rate_difference,
    score_words,
    witness_words,
)
from tracker.output.sentences.link import link_lines
from tracker.output.sentences.next_step import next_lines, power_words
from tracker.technique.effect import Effect, OwnEffect, Spread, shrunk
from tracker.technique.evidence import FaultStatistics, OwnEvidence, graded
from tracker.technique.fault_timeline import ChangeKind
from tracker.technique.reviewing import LookChange
from tracker.technique.stroke_reading import StrokeReading

AS_OF = day("06-30")
NAMES = {entry.slug: entry.name for entry in catalogue()}
STROKES = StrokeReading("effort rising", 12, "rate", 5.0, 3.0, 7.0)


def grounds(roster: FaultStatistics, **own: Any) -> list[str]:
    found = graded(LINK, a_stretch(), fault("breath-late"), OwnEvidence(**own), roster)
    return [ground_sentence(ground, AS_OF) for ground in found.grounds]


def test_the_roster_s_comparison_says_its_counts_interval_and_who_was_counted() -> None:
    (sentence,) = grounds(FaultStatistics(odds=AT_90))
    assert sentence.startswith(
        "In this roster 9 of 20 swimmers with it are on a plateau, against 9 of 30 similar ones without: "
        "odds 1.4 times as high (90 % interval 1.1 to 2.2, drawn towards even)"
    )
    assert "on schedule or before the onset only" in sentence


def test_an_effect_names_both_arms_and_admits_when_they_were_not_alike() -> None:
    (helped,) = grounds(FaultStatistics(correction=HELPED_90))
    assert "15 swimmers corrected of it gained 0.50 % a month more (0.10 to 0.90) than 40 picked" in helped
    (unlike,) = grounds(FaultStatistics(correction=UNLIKE))
    assert unlike.endswith("so this is not to be believed.")
    (unknown,) = grounds(FaultStatistics(correction=UNKNOWN))
    assert "3 corrections on record, 2 with tests enough" in unknown
    (drawn,) = grounds(FaultStatistics(drawn=DRAWN))
    assert drawn.startswith("By lot, 15 began with it at once and 40 twelve weeks later")


def test_strokes_and_cues_bear_witness_in_words() -> None:
    cue = a_work("wait in front", begins="2025-11-01")
    provoked, strokes = grounds(FaultStatistics(), work=[cue], strokes=STROKES)
    assert 'the cue "wait in front" was in use, since 1 November 2025' in provoked
    assert strokes.startswith(
        "Over the stretch the stroke rate changed by +5.0 % (90 % interval +3.0 to +7.0"
    )
    assert witness_words("effort rising") in strokes


@pytest.mark.parametrize(
    ("numbers", "words"),
    [
        ((0.6, 0.2, 1.0), "0.60 % a month more (0.20 to 1.00)"),
        ((-0.6, -1.0, -0.2), "0.60 % a month less (0.20 to 1.00)"),
        ((0.1, -0.2, 0.4), "0.10 % a month more (0.20 less to 0.40 more)"),
    ],
)
def test_a_difference_of_rates_says_which_way(numbers: tuple[float, float, float], words: str) -> None:
    assert rate_difference(*numbers) == words


def test_nothing_ever_says_because() -> None:
    """Association is all there is: no sentence of a claim holds a word of cause."""
    found = graded(
        LINK,
        a_stretch(),
        fault("breath-late"),
        OwnEvidence(strokes=STROKES),
        FaultStatistics(AT_90, HELPED_90, DRAWN),
    )
    said = " ".join(link_lines(found, NAMES, AS_OF)).casefold()
    said += effect_line(HELPED_90, NAMES).casefold()
    assert not any(word in said for word in ("because", "caused", "due to", "proves"))


def lines_of(*lines: str, **more: Any) -> str:
    return "\n".join(next_lines(proposed(*lines, **more), NAMES, AS_OF))


def test_a_proposal_reads_from_the_top() -> None:
    assert lines_of(
        "02-10 open pull-crossing/right 2 Mika", "2025-06-01 open body-flat 2 Mika"
    ).splitlines() == [
        "Work on: pull crosses under the body, right (open, severity 2).",
        "  Think: Straight back, along the side of the body.",
        "  Do: fist",
        "  Why: It was left uncorrected when the line went flat (coincides in time); severity 2.",
        "Leave: too little roll (open): one thing at a time.",
        "Next test: 5 July; every 7 days, as the settings say.",
        "Next look at technique: due since 10 March (112 days late); every 28 days, as the settings say.",
    ]


def test_a_fault_seen_after_the_likeliest_onset_is_not_said_to_have_been_left_then() -> None:
    line = next(line for line in lines_of("03-10 open pull-crossing 2 Mika").splitlines() if "Why" in line)
    assert "seen within the span in which the line may have gone flat" in line
    assert "left uncorrected" not in line


def test_every_reason_of_a_proposal_has_its_words() -> None:
    later = a_choice("stagger", "pull-crossing", "06-15", value="later")
    now = a_choice("stagger", "pull-crossing", "06-15", value="now")
    chosen = a_choice("choose", "pull-crossing", reason="race in July", by="Teo")
    opened = "02-10 open pull-crossing 2"
    assert "drawn by lot to start on 7 September" in lines_of(opened, choices=[later])
    assert "drawn by lot to start on 15 June" in lines_of(opened, choices=[now])
    assert "Chosen by Teo on 15 June until 7 September: race in July" in lines_of(opened, choices=[chosen])
    assert "12 weeks, without a correction seen" in lines_of(
        "02-10 open breath-late 2", "04-01 work breath-late"
    )
    assert "in work since 1 June, 4 weeks; give it time" in lines_of(opened, "06-01 work pull-crossing")
    assert "race of 20 July" in lines_of(opened, events=[an_event("race", "07-20")])
    assert "left on purpose since 1 March: race" in lines_of(opened, "03-01 parked pull-crossing: race")
    assert "common among triathletes and slow to change" in lines_of("02-10 open ankles-stiff 3")
    assert "tried before: 1 cue or drill stopped" in lines_of(
        opened, work=[a_work("fist", "pull-crossing", "02-15", "03-30", kind="drill")]
    )
    assert 'Stop: the cue "sweep in"' in lines_of(opened, work=[a_work("sweep in")])
    assert "a look comes first" in lines_of()
    assert "No look on record yet: have one first." in lines_of(plateau=False)
    assert "no uncorrected fault" in lines_of(plateau=False, looked=True)
    assert "It goes well" in lines_of("05-01 open breath-late", "06-01 work breath-late", plateau=False)
    assert NO_TEST in lines_of(opened, events=[an_event("injury", "06-01")], health=True)


def test_a_caution_that_two_things_call_for_is_said_once() -> None:
    assert len(cautions((Caution.SHOULDER, Caution.PADDLES, Caution.SHOULDER))) == 2
    assert len(cautions(Caution)) == len(Caution)


def test_a_draw_tells_its_power_first() -> None:
    assert power_words(11, 0.74).startswith("Before it starts: with 5 against 6 swimmers")
    assert "about 0.7 % a month" in power_words(11, 0.74)
    assert power_words(1, None).startswith("With nobody in one half")


def test_effects_that_are_known_and_unknown() -> None:
    assert effect_line(HELPED_90, NAMES) == (
        "Corrections of breath comes late: 15 of 20 could be compared. They gained 0.50 % a month more "
        "(0.10 to 0.90) than 40 swimmers of the same slope before, who had no correction (90 % interval); "
        "between swimmers it varies by 0.20 % a month (0.00 to 0.50)."
    )
    moved_apart = effect_line(replace(HELPED_90, lead=UNLIKE.lead), NAMES)
    assert moved_apart.endswith(
        "(0.00 to 0.50). But the two moved apart before already, so this is not to be believed."
    )
    others = {kind: effect_line(replace(HELPED_90, kind=kind), NAMES) for kind in ChangeKind}
    assert "40 swimmers of the same slope before, who had no such cue" in others[ChangeKind.CUE]
    assert "40 swimmers of the same slope before, who had no such drill" in others[ChangeKind.DRILL]
    assert "40 swimmers who began twelve weeks later by lot" in others[ChangeKind.DRAW]
    assert effect_line(UNKNOWN, NAMES).startswith(
        "Corrections of breath comes late: not known (too few cases)."
    )
    everything = Effect("cue", "", "", 2, 0, 0, missing="too few cases")
    listing = unknown_line([HELPED_90, UNKNOWN, everything], NAMES)
    assert listing.startswith("Not known yet: corrections of breath comes late (3) and all cues (2).")
    assert unknown_line([HELPED_90], NAMES) == ""


def test_an_effect_whose_spread_is_estimated_at_zero_still_says_how_far_it_may_differ() -> None:
    alike = replace(HELPED_90, spread=Spread(0.0, 0.0, 0.31))
    assert "between swimmers it varies by 0.00 % a month (0.00 to 0.31)." in effect_line(alike, NAMES)


def test_own_effects_are_told_with_their_intervals_the_best_first() -> None:
    some = (
        OwnEffect("Ines", day("03-02"), -0.1, -0.4, 0.2),
        OwnEffect("Noor", day("04-02"), 0.3, 0.05, 0.55),
    )
    assert each_lines(replace(HELPED_90, each=some), AS_OF) == [
        "Noor (2 April): +0.30 % a month (+0.05 to +0.55)",
        "Ines (2 March): -0.10 % a month (-0.40 to +0.20)",
    ]


def test_effects_as_json_have_both_ends_of_every_interval() -> None:
    own = OwnEffect("Noor", day("04-02"), 0.3, 0.05, 0.55)
    found = effect_json(replace(HELPED_90, each=(own,)))
    spread = {key: value for key, value in found.items() if key.startswith("spread")}
    assert spread == {
        "spread_pct_per_month": 0.2,
        "spread_pct_per_month_low": 0.0,
        "spread_pct_per_month_high": 0.5,
    }
    assert found["each"] == [
        {
            "swimmer": "Noor",
            "date": "2026-04-02",
            "gain_pct_per_month": 0.3,
            "gain_pct_per_month_low": 0.05,
            "gain_pct_per_month_high": 0.55,
        }
    ]
    unknown = effect_json(UNKNOWN)
    assert unknown["spread_pct_per_month_high"] is None
    assert unknown["each"] == []


def test_effects_side_by_side_are_drawn_towards_none() -> None:
    assert HELPED_90.gain is not None
    other = replace(HELPED_90, fault="kick-hard", gain=replace(HELPED_90.gain, value=0.1, low=-0.3, high=0.5))
    found = shrunk([HELPED_90, other, UNKNOWN])
    assert [one.tried for one in found] == [2, 2]
    assert all(abs(one.value) < abs(one.effect.gain.value) for one in found if one.effect.gain)
    lines = shrunk_lines(found, NAMES)
    assert lines[0].startswith("Side by side, drawn towards none since 2 were tried")
    assert lines[1].startswith("Corrections of breath comes late: +")
    assert shrunk_lines(shrunk([HELPED_90]), NAMES) == []


def test_looks_are_shown_with_reviewer_and_own_error() -> None:
    change = LookChange("Maud", "catch", "", day("05-05"), 4, 2, day("03-03"), "better", 0.7, (0.4, 1.9))
    by_area, by_measure = {a.slug: a for a in areas()}, {m.slug: m for m in measures()}
    assert change_line(change, by_area, by_measure, AS_OF) == (
        "catch: 2 to 4 (Maud, 3 March to 5 May): better; a change counts from 0.7 (90 % interval 0.4 to 1.9)."
    )
    first = LookChange("Maud", "hand-depth", "right", day("05-05"), 21.5, None, None, "first look", None)
    assert change_line(first, by_area, by_measure, AS_OF) == (
        "hand depth at the end of the reach, right: 21.5 cm (Maud, 5 May); first look."
    )


def test_scores_in_words() -> None:
    assert score_words(area("catch"), 2) == "Hand sinks deep or presses down before it turns to face back."
    assert score_words(area("catch"), 6) == ""


def test_steps_of_a_person_without_markup_stay_as_they_are() -> None:
    """Text from people stays text: brackets and dollars pass through unchanged."""
    assert steps(f"02-10 open own-wrist: {SWIMMER} [b] $x$")[0].note == f"{SWIMMER} [b] $x$"
    said = "\n".join(
        next_lines(proposed("02-10 open kick-wide", "03-01 parked kick-wide: [red]x[/]"), NAMES, AS_OF)
    )
    assert "[red]x[/]" in said
