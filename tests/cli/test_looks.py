"""Looks on the command line: each reviewer against the own error, and cues that overshoot."""

from __future__ import annotations

from tests.cli.conftest import Cli


def test_a_second_look_says_what_changed_since_that_reviewer_s_last(ines: Cli) -> None:
    look = ("review", "Ines Aalto", "--measure", "elbow-angle:left=158")
    assert ines(*look, "--by", "Maud", "--score", "breathing=2", "--date", "2026-03-03").code == 0
    other = ines("review", "Ines Aalto", "--by", "Teo", "--score", "breathing=4", "--date", "2026-04-01")
    assert "2 to 4" not in other.out
    again = (
        "review",
        "Ines Aalto",
        "--by",
        "Maud",
        "--score",
        "breathing=3",
        "--measure",
        "elbow-angle:left=118",
    )
    found = ines(*again, "--date", "2026-05-05")
    unsure = "whether that is more than reading error is not known."
    assert f"breathing: 2 to 3 (Maud, 3 March to 5 May): differs by 1; {unsure}" in found.out
    assert f"left: 158 to 118 deg (Maud, 3 March to 5 May): differs by 40 deg; {unsure}" in found.out
    assert "One camera" in found.err


def test_scores_are_told_in_words_and_all_words_can_be_listed(ines: Cli) -> None:
    found = ines("review", "Ines Aalto", "--by", "Maud", "--score", "breathing=2", "--date", "2026-03-03")
    assert "breathing: 2 of 5: Breath comes late or high and costs a stroke each time." in found.out
    listed = ines("review", "areas").out
    assert "  2 Breath comes late or high" in listed
    assert "entry-offset (cm; front or from above)" in listed
    assert len(ines("review", "areas", "--json").json["areas"]) == 10


def test_a_minor_s_clip_brings_the_caution_and_an_adult_s_does_not(ines: Cli) -> None:
    assert ines("swimmer", "add", "Young Swimmer", "--born", "2011").code == 0
    clip = ("--by", "Maud", "--score", "breathing=2", "--clip", "20260301-07")
    assert "under 18" in ines("review", "Young Swimmer", *clip).err
    assert "under 18" not in ines("review", "Ines Aalto", *clip).err
    assert "under 18" not in ines("review", "Young Swimmer", *clip[:4], "--date", "2026-06-29").err


def test_clips_read_twice_give_an_own_error_and_small_steps_are_no_change_seen(ines: Cli) -> None:
    """Four clips read twice, two steps apart each way: the own error is 1.6, a step of one is nothing."""
    for clip, first, second in (("a", 2, 4), ("b", 4, 2), ("c", 1, 3), ("d", 3, 1)):
        for score, day in ((first, "2026-01-10"), (second, "2026-01-20")):
            words = ("--score", f"rhythm={score}", "--clip", clip, "--date", day)
            assert ines("review", "Ines Aalto", "--by", "Maud", *words).code == 0
    ines("review", "Ines Aalto", "--by", "Maud", "--score", "rhythm=2", "--date", "2026-03-01", "--clip", "e")
    found = ines("review", "Ines Aalto", "--by", "Maud", "--score", "rhythm=3", "--date", "2026-05-01")
    assert "no change seen; a change counts from 1.6" in found.out


def test_a_fault_opened_while_a_cue_can_have_provoked_it_is_told_at_once(ines: Cli) -> None:
    assert ines("cue", "Ines Aalto", "start", "glide longer, hum", "--date", "2026-03-01").code == 0
    opened = ines("fault", "Ines Aalto", "open", "breath-late", "--date", "2026-05-01", "--by", "Maud")
    assert 'the cue "glide longer, hum" has been in use since 1 March' in opened.err
    seen = ines(
        "review", "Ines Aalto", "--by", "Maud", "--fault", "body-over-rotated", "--date", "2026-05-02"
    )
    assert 'the cue "glide longer, hum"' in seen.err
    other = ines("fault", "Ines Aalto", "open", "ankles-stiff", "--date", "2026-05-01", "--by", "Maud")
    assert "overdone" not in other.err
