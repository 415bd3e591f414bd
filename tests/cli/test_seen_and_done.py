"""Reviews, faults, cues, drills, events and load from the command line."""

from __future__ import annotations

import pytest

from tests.cli.conftest import Cli

INES = "Ines Aalto"


def test_a_review_holds_scores_measures_points_and_faults(ines: Cli) -> None:
    ran = ines(
        "review", INES, "--by", "Bo", "--score", "breathing=2", "--measure", "shoulder-roll:left=54",
        "--points", "hip-roll:left:0,0;30,40;0,0;100,0", "--fault", "breath-late:left=2",
        "--fault", "entry-crossing", "--json",
    )  # fmt: skip
    assert [(i["kind"], i["item"], i["side"], i["value"]) for i in ran.json["items"]] == [
        ("score", "breathing", "", 2.0),
        ("measure", "shoulder-roll", "left", 54.0),
        ("measure", "hip-roll", "left", 53.1),
    ]
    assert [(s["fault"], s["side"], s["step"], s["severity"], s["reviewer"]) for s in ran.json["steps"]] == [
        ("breath-late", "left", "open", 2, "Bo"),
        ("entry-crossing", "", "open", None, "Bo"),
    ]


def test_a_fault_seen_again_is_seen_and_one_seen_after_its_correction_is_back(ines: Cli) -> None:
    seen = ("--fault", "breath-late:left")
    assert "breath-late (left): open" in ines("review", INES, "--date", "2026-05-01", *seen).out
    assert "breath-late (left): seen" in ines("review", INES, "--date", "2026-05-08", *seen).out
    corrected = ines("review", INES, "--date", "2026-05-15", "--corrected", "breath-late:left")
    assert "breath-late (left): corrected" in corrected.out
    assert "breath-late (left): back" in ines("review", INES, "--date", "2026-05-22", *seen).out


def test_a_bare_look_is_a_look(ines: Cli) -> None:
    ran = ines("review", INES)
    assert ran.out == "review of Ines Aalto on 2026-06-30 by Maud\nlooked, nothing to write down\n"


def test_a_look_that_saw_a_fault_is_not_said_to_have_seen_nothing(ines: Cli) -> None:
    ran = ines("review", INES, "--fault", "breath-late:left")
    assert ran.out == "review of Ines Aalto on 2026-06-30 by Maud\nbreath-late (left): open\n"


def test_everything_wrong_in_a_review_is_said_at_once(ines: Cli) -> None:
    ran = ines(
        "review", INES, "--date", "x", "--score", "breathin=2", "--score", "breathing=6",
        "--measure", "shoulder-rol=1", "--measure", "body-angle:left=1", "--points", "hip-roll:1,1",
        "--fault", "breath-lat", "--fault", "entry-crossing:up", "--fault", "entry-crossing=9",
        "--corrected", "entry-crossing=1",
    )  # fmt: skip
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.count("\n") == 1
    for said in (
        "date: 'x' is not a date", "did you mean breathing", "a score is 1 to 5",
        "did you mean shoulder-roll", "has no side", "needs 4 points", "did you mean breath-late",
        "'up' is no side", "a severity is 1 to 3", "no severity here",
    ):  # fmt: skip
        assert said in ran.err
    assert ines("swimmer", "show", INES, "--json").json["records"]["review items"] == 0


def test_a_fault_named_twice_or_corrected_unseen_is_refused(ines: Cli) -> None:
    assert (
        "is named twice"
        in ines("review", INES, "--fault", "entry-crossing", "--corrected", "entry-crossing").err
    )
    assert "cannot be corrected" in ines("review", INES, "--corrected", "entry-crossing").err


def _step(ines: Cli, *words: str) -> str:
    ran = ines("fault", INES, *words)
    return ran.out if ran.code == 0 else ran.err


def test_a_faults_life(ines: Cli) -> None:
    by = ("--by", "Bo")
    assert "is open" in _step(ines, "open", "breath-late", "--side", "left", "--date", "2026-05-01", *by)
    assert "is open already" in _step(ines, "open", "breath-late", "--side", "left")
    assert "is in work, was open" in _step(ines, "work", "breath-late", "--date", "2026-05-02")
    assert "give --reason" in _step(ines, "park", "breath-late")
    assert "is parked" in _step(ines, "park", "breath-late", "--date", "2026-05-03", "--reason", "race")
    assert "not corrected, so it cannot be back" in _step(ines, "back", "breath-late", "--date", "2026-05-04")
    assert "said to be corrected" in _step(ines, "corrected", "breath-late", "--date", "2026-05-05")
    assert "is corrected, was said" in _step(ines, "corrected", "breath-late", "--date", "2026-05-06", *by)
    assert "is corrected already" in _step(ines, "corrected", "breath-late", "--date", "2026-05-07", *by)
    assert "say 'back'" in _step(ines, "open", "breath-late", "--side", "left", "--date", "2026-05-08")
    assert "is back, was corrected" in _step(ines, "back", "breath-late", "--date", "2026-05-09", *by)
    assert "(left)" in _step(ines, "seen", "breath-late", "--severity", "3")


def test_two_sides_are_told_apart(ines: Cli) -> None:
    for side in ("left", "right"):
        _step(ines, "open", "breath-late", "--side", side)
    assert "say which with --side" in _step(ines, "work", "breath-late")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["opn", "breath-late"], "did you mean open"),
        (["open", "breath-lat"], "did you mean breath-late"),
        (["open", "breath-late", "--severity", "4", "--side", "up", "--date", "x"], "'4' is above 3"),
        (["open", "breath-late", "--date", "2026-08-01"], "has not come yet"),
        (["work", "breath-late"], "open it first"),
        (["open"], "give NAME STEP FAULT"),
    ],
)
def test_steps_that_make_no_sense_are_refused(ines: Cli, words: list[str], said: str) -> None:
    ran = ines("fault", INES, *words)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


def test_hearsay_and_cautions_are_said(ines: Cli) -> None:
    assert "stands as hearsay" in ines("fault", INES, "open", "breath-late").err
    assert "Keep breathing comfortable" in ines("fault", INES, "work", "breath-late").err


def test_the_catalogue_is_listed_with_and_without_a_database(cli: Cli) -> None:
    assert len(cli("fault", "list").out.splitlines()) == 34
    (entry,) = cli("fault", "list", "breath-late", "--json").json["faults"]
    assert entry["area"] == "breathing"
    assert "norm: " in cli("fault", "list", "breath-late").out
    assert cli("fault", "list", "breath-lat").code == 2


def test_a_cue_starts_and_stops_by_the_beginning_of_its_words(ines: Cli) -> None:
    started = ines(
        "cue", INES, "start", "face back before the hand", "--fault", "breath-late", "--date", "2026-06-01"
    )
    assert started.out == "Ines Aalto, cue from 2026-06-01: face back before the hand against breath-late\n"
    assert "in use already" in ines("cue", INES, "start", "Face back before the hand").err
    assert "after 2026-05-01" in ines("cue", INES, "stop", "face", "--date", "2026-05-01").err
    assert "to 2026-06-30" in ines("cue", INES, "stop", "face").out
    assert "no cue in use is called" in ines("cue", INES, "stop", "face").err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["start", "x", "--fault", "breath-lat"], "did you mean breath-late"),
        (["start", "x", "--per-week", "1e3", "--date", "2026-13-01"], "'1e3' is not a number"),
        (["start", " "], "text: is missing"),
        (["start", "x", "--per-week", "51"], "'51.0' is above 50"),
        (["stop", "x", "--date", "1.1.2026"], "does not say the order of day and month"),
    ],
)
def test_drills_that_make_no_sense_are_refused(ines: Cli, words: list[str], said: str) -> None:
    ran = ines("drill", INES, *words)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


def test_events_are_logged_and_health_is_off_until_switched_on(ines: Cli) -> None:
    ran = ines("event", INES, "layoff", "--from", "2026-05-02", "--to", "2026-05-20", "--note", "moved house")
    assert ran.out == "Ines Aalto, layoff from 2026-05-02 to 2026-05-20: moved house\n"
    refused = ines("event", INES, "illness")
    assert refused.code == 2
    assert "config set health true" in refused.err
    assert ines("config", "set", "health", "true").code == 0
    assert ines("event", INES, "illness").code == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["layof"], "is none of 'layoff'"),
        (["camp", "--from", "2026-05-02", "--to", "2026-05-01"], "before it begins"),
        (["camp", "--from", "1980-05-02"], "before the year of birth"),
        (["camp", "--from", "1.5.2026", "--to", "x"], "'x' is not a date"),
    ],
)
def test_events_that_make_no_sense_are_refused(ines: Cli, words: list[str], said: str) -> None:
    ran = ines("event", INES, *words)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


def test_a_week_is_one_row_whatever_day_names_it(ines: Cli) -> None:
    assert (
        "week of 2026-06-22: 3 sessions, 7800 m"
        in ines("load", INES, "2026-06-24", "--sessions", "3", "--metres", "7800").out
    )
    again = ines("load", INES, "2026-06-28", "--sessions", "4")
    assert "week of 2026-06-22: 4 sessions, 7800 m" in again.out
    assert "replaces" in again.err
    assert ines("swimmer", "show", INES, "--json").json["records"]["weeks of load"] == 1
    assert "give one or both" in ines("load", INES, "2026-06-24").err
