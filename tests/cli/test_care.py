"""Whoever writes down a practice that can hurt is cautioned there and then, and once where it is printed."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tracker.model.practices import Caution
from tracker.output.cautions import caution

AFTER_ILLNESS = caution(Caution.AFTER_ILLNESS)
ALONE = caution(Caution.ALONE)
BREATH = caution(Caution.BREATH)
MAXIMAL_EFFORT = caution(Caution.MAXIMAL_EFFORT)
MAXIMAL_TEST = caution(Caution.MAXIMAL_TEST)
OPEN_WATER = caution(Caution.OPEN_WATER)
PADDLES = caution(Caution.PADDLES)
PREGNANCY = caution(Caution.PREGNANCY)
CHILD = caution(Caution.CHILD)
SHOULDER = caution(Caution.SHOULDER)
PROFESSIONAL = caution(Caution.SEE_A_PROFESSIONAL)
INES = "Ines Aalto"


def cautioned(err: str) -> list[str]:
    return [line for line in err.splitlines() if line.startswith("caution:")]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("drill", INES, "start", "underwater 25s no breath"), [BREATH]),
        (("cue", INES, "start", "hold your breath for six strokes"), [BREATH]),
        (("drill", INES, "start", "400 pull with paddles"), [SHOULDER, PADDLES]),
        (("drill", INES, "start", "Paddles", "--fault", "catch-deep"), [PADDLES]),
        (("drill", INES, "start", "all out 50s, alone in the lake"), [MAXIMAL_EFFORT, ALONE, OPEN_WATER]),
        (("drill", INES, "start", "no paddles, breathe every three"), []),
        (("event", INES, "camp", "--note", "a week at the sea"), [OPEN_WATER]),
        (("event", INES, "other", "--note", "swims without a lifeguard"), [ALONE]),
        (("event", INES, "layoff", "--note", "moved house"), []),
        (("test", "add", "lake-750", "--name", "the lake", "--distances", "750"), [OPEN_WATER]),
        (("test", "add", "hypoxic-8", "--distances", "200"), [BREATH]),
        (("test", "add", "mine", "--distances", "200", "--protocol", "flat out"), [MAXIMAL_EFFORT]),
        (("test", "add", "easy", "--distances", "200", "--protocol", "count strokes"), []),
    ],
)
def test_what_is_written_down_brings_its_cautions(ines: Cli, words: tuple[str, ...], said: list[str]) -> None:
    done = ines(*words)
    assert done.code == 0, done.err
    assert cautioned(done.err) == said
    assert "caution" not in done.out


@pytest.mark.parametrize(
    ("flags", "said"),
    [
        (("--course", "OW"), [OPEN_WATER]),
        (("--kit", "paddles"), [PADDLES]),
        (("--conditions", "14 °C, wind"), [OPEN_WATER]),
        (("--note", "swum alone"), [ALONE]),
        (("--note", "felt fine"), []),
        (("--course", "LCM"), []),
    ],
)
def test_a_swim_is_cautioned_by_its_water_its_kit_and_its_note(
    ines: Cli, flags: tuple[str, ...], said: list[str]
) -> None:
    first = ines("log", INES, "t400", "6:40", "--date", "2026-06-20", *flags)
    assert cautioned(first.err) == [MAXIMAL_TEST, *said]
    again = ines("log", INES, "t400", "6:41", "--date", "2026-06-27", *flags)
    assert cautioned(again.err) == said
    assert cautioned(ines("swim", "edit", "1", *flags).err) == said
    assert cautioned(ines("swim", "edit", "1", "--time", "6:42").err) == []


def test_a_test_of_the_coach_s_own_is_cautioned_by_its_words_whenever_it_is_swum(ines: Cli) -> None:
    ines("test", "add", "own-lap", "--name", "round the reservoir", "--distances", "750")
    assert cautioned(ines("log", INES, "own-lap", "13:00").err) == [MAXIMAL_TEST, OPEN_WATER]


@pytest.mark.parametrize(
    ("kind", "note", "said"),
    [
        ("injury", "ankle sprain", [PROFESSIONAL]),
        ("injury", "", [PROFESSIONAL]),
        ("injury", "left shoulder", [PROFESSIONAL, SHOULDER]),
        ("illness", "flu", [PROFESSIONAL, AFTER_ILLNESS]),
    ],
)
def test_an_injury_is_no_shoulder_unless_its_words_say_so(
    ines: Cli, kind: str, note: str, said: list[str]
) -> None:
    ines("config", "set", "health", "true")
    assert cautioned(ines("event", INES, kind, "--note", note).err) == said
    ines("fault", INES, "open", "head-deep", "--by", "Bo Lind")
    assert cautioned(ines("next", INES).err) == said
    edited = ines("event", "edit", "1", "--note", "knee").err
    assert cautioned(edited) == [one for one in said if one != SHOULDER]


def test_what_is_in_use_is_cautioned_once_wherever_it_is_printed(ines: Cli) -> None:
    ines("log", INES, "t400", "6:40")
    for text in ("underwater 25s", "hold your breath for six strokes", "lung busters"):
        ines("drill", INES, "start", text)
    ines("drill", INES, "start", "paddles")
    ines("drill", INES, "stop", "paddles", "--date", "2026-06-30")
    said = ines("next", INES)
    assert cautioned(said.err).count(BREATH) == 1
    why = ines("why", INES).out
    assert why.count(BREATH.removeprefix("caution: ")) == 1
    made = ines("page", INES, "--month", "2026-06", "--format", "txt", "--out", "pages")
    assert made.code == 0, made.err
    (page,) = Path("pages").rglob("*.txt")
    text = " ".join(page.read_text(encoding="utf-8").split())
    assert text.count(BREATH.removeprefix("caution: ")) == 1


def test_what_was_stopped_long_ago_is_not_cautioned_any_more(ines: Cli) -> None:
    ines("drill", INES, "start", "paddles", "--date", "2026-03-01")
    ines("drill", INES, "stop", "paddles", "--date", "2026-04-01")
    assert cautioned(ines("next", INES).err) == [MAXIMAL_TEST]
    assert "shoulder" not in ines("why", INES).out


def test_a_sheet_of_many_swims_says_each_caution_once(ines: Cli) -> None:
    ines("swimmer", "add", "Bo Lind")
    rows = (
        "swimmer,test,date,time 400,time 200,note\n"
        "Ines Aalto,css,2026-06-20,6:40,3:10,in the lake\n"
        "Bo Lind,css,2026-06-20,6:50,3:12,in the sea\n"
    )
    done = ines("log", "--table", "-", stdin=rows.encode())
    assert done.code == 0, done.err
    whom = " (2 swimmers: Ines Aalto, Bo Lind)"
    assert cautioned(done.err) == [MAXIMAL_TEST + whom, OPEN_WATER + whom]


def test_a_fault_of_the_coach_s_own_is_cautioned_by_its_drills(ines: Cli) -> None:
    added = ines("fault", "add", "own-deep", "--name", "too deep", "--drill", "pull with paddles")
    assert PADDLES in added.out + added.err
    ines("fault", INES, "open", "own-deep", "--by", "Bo Lind")
    assert cautioned(ines("fault", INES, "work", "own-deep").err) == [PADDLES]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("fault", INES, "open", "kick-wide", "--by", "Bo", "--reason", "seen in the lake"), [OPEN_WATER]),
        (("fault", INES, "open", "kick-wide", "--by", "Bo", "--reason", "seen in lane 4"), []),
        (("review", INES, "--by", "Bo", "--score", "kick=3", "--note", "filmed with paddles"), [PADDLES]),
        (("review", INES, "--by", "Bo", "--score", "kick=3", "--note", "filmed in lane 4"), []),
        (("swimmer", "edit", INES, "--note", "trains alone at six"), [ALONE]),
        (("swimmer", "add", "Eve New", "--note", "pregnant"), [PREGNANCY]),
    ],
)
def test_a_note_brings_its_cautions_wherever_it_is_typed(
    ines: Cli, words: tuple[str, ...], said: list[str]
) -> None:
    done = ines(*words)
    assert done.code == 0, done.err
    assert cautioned(done.err) == said


def test_an_item_of_a_review_and_the_reason_of_a_choice_are_cautioned_too(ines: Cli) -> None:
    ines("review", INES, "--by", "Bo", "--score", "kick=3")
    assert cautioned(ines("review", "edit", "1", "--note", "hypoxic set after").err) == [BREATH]
    ines("fault", INES, "open", "kick-wide", "--by", "Bo")
    said = ines("next", INES, "--choose", "kick-wide", "--reason", "camp at the sea").err
    assert cautioned(said)[0] == OPEN_WATER


HURT = ("event", INES, "injury", "--from", "2026-06-20", "--body-part", "shoulder")


def test_a_shoulder_on_record_holds_back_tests_sets_and_loads_and_says_what_is_left(ines: Cli) -> None:
    """ "No hard loads" was once followed by set paces at 10 s rest and "Do: scull"."""
    ines("config", "set", "health", "true")
    ines("log", INES, "css", "6:40", "3:10", "--date", "2026-06-01")
    ines("fault", INES, "open", "catch-deep", "--by", "Bo Lind", "--severity", "3")
    before = ines("next", INES).out
    assert "Do: scull" in before
    assert "10 s rest" in before
    assert ines(*HURT).code == 0
    after = ines("next", INES)
    assert "scull" not in after.out.replace("pulling, sculling", "")
    assert "10 s rest" not in after.out
    assert "Do: fist" in after.out
    assert "ask a physiotherapist or doctor" in after.out
    assert "paddles, bands, pulling, sculling" in after.out
    assert "Next test: none for now" in after.out
    assert cautioned(after.err) == [PROFESSIONAL, SHOULDER]
    why = ines("why", INES).out
    assert "Next test: none for now" in why
    assert PROFESSIONAL.removeprefix("caution: ") in why
    assert "Testing monthly" not in why
    made = ines("page", INES, "--month", "2026-06", "--format", "txt", "--out", "pages")
    assert made.code == 0, made.err
    (page,) = Path("pages").rglob("*.txt")
    text = " ".join(page.read_text(encoding="utf-8").split())
    assert "s rest" not in text
    assert "scull" not in text.replace("pulling, sculling", "")
    assert "physiotherapist" in text


def test_a_hurt_knee_leaves_the_drills_of_the_arms_and_no_test(ines: Cli) -> None:
    ines("config", "set", "health", "true")
    ines("fault", INES, "open", "catch-deep", "--by", "Bo Lind", "--severity", "3")
    ines(*HURT[:-1], "knee")
    said = ines("next", INES).out
    assert "Do: scull" in said
    assert "paddles, bands" not in said
    assert "Next test: none for now" in said


def test_the_body_part_is_health_data_and_nowhere_while_health_is_off(ines: Cli) -> None:
    refused = ines("event", INES, "other", "--body-part", "shoulder")
    assert refused.code == 2
    assert "about health, which is off" in refused.err
    ines("config", "set", "health", "true")
    ines(*HURT)
    assert "shoulder" in ines("event", "list", INES).out
    ines("export", "with-health")
    assert ",part," in (Path("with-health") / "events.csv").read_text(encoding="utf-8").splitlines()[0]
    assert "shoulder" not in (Path("with-health") / "events.csv").read_text(encoding="utf-8")
    ines("config", "set", "health", "false")
    for words in (("event", "list", INES), ("why", INES), ("next", INES), ("history",)):
        said = ines(*words)
        assert "shoulder" not in (said.out + said.err).replace(MAXIMAL_TEST, ""), words


def test_a_child_is_not_asked_for_weekly_tests_nor_given_adult_sets(ines: Cli) -> None:
    ines("swimmer", "edit", INES, "--born", "2015")
    first = ines("log", INES, "css", "7:40", "3:40", "--date", "2026-06-20")
    assert cautioned(first.err) == [MAXIMAL_TEST, CHILD]
    said = ines("next", INES)
    assert "Next test: 18 July, not sooner; under 18 once in four weeks is plenty" in said.out
    why = ines("why", INES).out
    assert "Next test: 18 July, not sooner" in why
    assert "Testing monthly" in why
    assert "Testing weekly" not in why
    assert "10 s rest" not in said.out
    assert "do not carry over to under 18" in said.out
    assert cautioned(said.err) == [MAXIMAL_TEST, CHILD]
    ines("swimmer", "edit", INES, "--born", "1990")
    grown = ines("next", INES)
    assert "10 s rest" in grown.out
    assert CHILD not in grown.err


def test_a_pregnancy_that_is_written_down_holds_tests_and_sets_back(ines: Cli) -> None:
    ines("log", INES, "css", "6:40", "3:10", "--date", "2026-06-01")
    ines("event", INES, "other", "--from", "2026-06-10", "--note", "pregnant, all is well")
    said = ines("next", INES)
    assert "Next test: none for now" in said.out
    assert "10 s rest" not in said.out
    assert "midwife" in said.out
    assert cautioned(said.err) == [PREGNANCY]


def test_a_squad_of_24_reads_each_caution_once_with_whom_it_concerns(ines: Cli) -> None:
    """It once stood there 24 times."""
    names = [f"Swimmer {number:02}" for number in range(1, 25)]
    for name in names:
        ines("swimmer", "add", name)
    rows = "".join(f"{name},t400,2026-06-20,6:40,in the lake\n" for name in names)
    done = ines("log", "--table", "-", stdin=f"swimmer,test,date,time,note\n{rows}".encode())
    assert done.code == 0, done.err
    whom = " (24 swimmers: Swimmer 01, Swimmer 02, Swimmer 03 and 21 more)"
    assert cautioned(done.err) == [MAXIMAL_TEST + whom, OPEN_WATER + whom]


def test_the_words_of_an_imported_file_bring_their_cautions_once_with_whom_they_concern(
    ines: Cli, home: Path
) -> None:
    (home / "lake.csv").write_text(
        "date,swimmer,test,time,course,note\n"
        "2026-06-02,Ines Aalto,t400,6:40,SCM,swum alone\n"
        "2026-06-09,Bo Lind,t400,6:50,SCM,swum alone\n"
        "2026-06-16,Bo Lind,t400,6:49,SCM,felt fine\n",
        encoding="utf-8",
    )
    done = ines("import", "lake.csv")
    assert cautioned(done.err) == [f"{ALONE} (2 swimmers: Ines Aalto, Bo Lind)"]
