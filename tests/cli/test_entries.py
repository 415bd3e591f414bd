"""Entries are listed with numbers, corrected and deleted by them, and undo brings them back."""

from __future__ import annotations

import pytest

from tests.cli.conftest import Cli
from tracker.model.about import fields_called, in_form_order
from tracker.model.base import Record
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swim_test import SwimTest
from tracker.model.swimmer import Choice, Consent, Swimmer
from tracker.model.work import Work

INES = "Ines Aalto"


@pytest.fixture
def reviewed(ines: Cli) -> Cli:
    """Ines with a look of two items and a fault seen in it, an event, a week, a cue."""
    words = ("--by", "Bo", "--score", "breathing=2", "--measure", "shoulder-roll:left=54")
    ran = ines("review", INES, *words, "--fault", "breath-late:left=2", "--date", "2026-06-20")
    assert ran.code == 0, ran.err
    assert ines("event", INES, "layoff", "--from", "2026-05-02", "--note", "moved").code == 0
    assert ines("load", INES, "2026-06-22", "--sessions", "3", "--metres", "7800").code == 0
    assert ines("cue", INES, "start", "face back first", "--fault", "breath-late").code == 0
    assert ines("drill", INES, "start", "side kick to the left", "--per-week", "2").code == 0
    return ines


def test_a_review_is_listed_item_by_item(reviewed: Cli) -> None:
    items = reviewed("review", "list", "ines aalto", "--json").json["items"]
    assert [(one["kind"], one["item"], one["value"]) for one in items] == [
        ("score", "breathing", 2),
        ("measure", "shoulder-roll", 54),
    ]
    table = reviewed("review", "list", INES).out.splitlines()
    assert table[0].split("\t")[:4] == ["id", "date", "reviewer", "kind"]
    assert table[1].split("\t")[0] == str(items[0]["id"])


def test_a_review_item_is_corrected_and_undo_takes_it_back(reviewed: Cli) -> None:
    number = str(reviewed("review", "list", INES, "--json").json["items"][0]["id"])
    assert reviewed("review", "edit", number, "--value", "3", "--note", "second look").code == 0
    item = reviewed("review", "list", INES, "--json").json["items"][0]
    assert (item["value"], item["note"], item["reviewer"]) == (3, "second look", "Bo")
    assert reviewed("undo").code == 0
    assert reviewed("review", "list", INES, "--json").json["items"][0]["value"] == 2


@pytest.mark.parametrize(
    ("flags", "said"),
    [
        (("--value", "6"), "from 1 to 5"),
        (("--value", "nan"), "value"),
        (("--side", "left"), "no side"),
        (("--date", "2027-01-01"), "not come yet"),
        (("--date", "1970-01-01"), "born"),
        (("--value", ""), "missing"),
        (("--score", "breathing=2"), "new review"),
        ((), "nothing to change"),
        (("--whole", "--value", "3"), "leave --whole out"),
    ],
)
def test_a_wrong_correction_of_a_review_changes_nothing(
    reviewed: Cli, flags: tuple[str, ...], said: str
) -> None:
    before = reviewed("review", "list", INES, "--json").json
    ran = reviewed("review", "edit", str(before["items"][0]["id"]), *flags)
    assert ran.code == 2
    assert said in ran.err.replace("birth", "born")
    assert reviewed("review", "list", INES, "--json").json == before


def test_a_whole_look_moves_with_the_faults_seen_in_it(reviewed: Cli) -> None:
    number = str(reviewed("review", "list", INES, "--json").json["items"][0]["id"])
    ran = reviewed("review", "edit", number, "--whole", "--by", "Maud", "--date", "2026-06-21")
    assert ran.code == 0, ran.err
    items = reviewed("review", "list", INES, "--json").json["items"]
    assert {(one["date"], one["reviewer"]) for one in items} == {("2026-06-21", "Maud")}
    steps = reviewed("fault", "steps", INES, "--json").json["steps"]
    assert {(one["date"], one["reviewer"]) for one in steps} == {("2026-06-21", "Maud")}


def test_a_look_is_deleted_whole_only_with_yes_and_undo_brings_it_back(reviewed: Cli) -> None:
    before = reviewed("review", "list", INES, "--json").json
    number = str(before["items"][1]["id"])
    ran = reviewed("review", "delete", number, "--whole")
    assert ran.code == 2
    assert "--yes" in ran.err
    assert reviewed("review", "delete", number, "--whole", "--yes").code == 0
    assert reviewed("review", "list", INES, "--json").json["items"] == []
    assert reviewed("fault", "steps", INES, "--json").json["steps"] == []
    assert reviewed("undo").code == 0
    assert reviewed("review", "list", INES, "--json").json == before


def test_one_item_is_deleted_and_the_rest_of_the_look_stays(reviewed: Cli) -> None:
    number = str(reviewed("review", "list", INES, "--json").json["items"][0]["id"])
    assert reviewed("review", "delete", number, "--yes", "--json").json["what"] == "deleted"
    assert len(reviewed("review", "list", INES, "--json").json["items"]) == 1


def test_logging_a_review_is_as_before(reviewed: Cli) -> None:
    assert reviewed("review", INES, "--score", "breathing=4").code == 0
    assert reviewed("review", INES, "extra").code == 2
    assert reviewed("review", INES, "--value", "3").code == 2


def test_an_event_is_listed_corrected_and_deleted(reviewed: Cli) -> None:
    event = reviewed("event", "list", INES, "--json").json["events"][0]
    assert (event["kind"], event["note"], event["to_date"]) == ("layoff", "moved", None)
    number = str(event["id"])
    ran = reviewed("event", "edit", number, "--to", "2026-05-20", "--kind", "camp")
    assert ran.out.startswith(f"now {number}: {INES}, camp from 2026-05-02 to 2026-05-20")
    assert reviewed("event", "edit", number, "--to", "2026-04-01").code == 2
    assert reviewed("event", "edit", number, "--kind", "illness").code == 2
    assert reviewed("event", "edit", number).code == 2
    assert reviewed("event", "delete", number).code == 2
    assert reviewed("event", "delete", number, "--yes").code == 0
    assert reviewed("event", "list", INES, "--json").json["events"] == []
    assert reviewed("undo").code == 0
    assert len(reviewed("event", "list", INES, "--json").json["events"]) == 1


def test_health_stands_as_a_break_once_it_is_off(reviewed: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    """Off by default, and not shown where it is off."""
    monkeypatch.setenv("SLACKWATER_HEALTH", "true")
    assert reviewed("event", INES, "injury", "--from", "2026-06-01", "--note", "left shoulder").code == 0
    assert "injury" in reviewed("event", "list", INES).out
    monkeypatch.delenv("SLACKWATER_HEALTH")
    shown = reviewed("event", "list", INES).out
    assert "injury" not in shown
    assert "shoulder" not in shown
    assert "a break" in shown
    number = str(reviewed("event", "list", INES, "--json").json["events"][1]["id"])
    deleted = reviewed("event", "delete", number, "--yes")
    assert "injury" not in deleted.out


def test_weeks_cues_drills_and_steps_are_listed_and_deleted(reviewed: Cli) -> None:
    week = reviewed("load", "list", INES, "--json").json["weeks"][0]
    assert (week["week"], week["sessions"], week["metres"]) == ("2026-06-22", 3, 7800)
    assert reviewed("load", "delete", str(week["id"]), "--yes").code == 0
    assert reviewed("load", "list", INES, "--json").json["weeks"] == []
    cue = reviewed("cue", INES, "list", "--json").json["cues"][0]
    drill = reviewed("drill", INES, "list", "--json").json["drills"][0]
    assert (cue["text"], drill["text"], drill["per_week"]) == ("face back first", "side kick to the left", 2)
    assert reviewed("cue", INES, "delete", str(drill["id"]), "--yes").code == 2
    assert reviewed("drill", INES, "delete", str(drill["id"]), "--yes").code == 0
    assert reviewed("drill", INES, "list", "--json").json["drills"] == []
    step = reviewed("fault", "steps", INES, "--json").json["steps"][0]
    assert (step["fault"], step["step"], step["severity"]) == ("breath-late", "open", 2)
    assert reviewed("fault", "delete", str(step["id"]), "--yes").code == 0
    assert reviewed("fault", "steps", INES, "--json").json["steps"] == []


@pytest.mark.parametrize(
    "words",
    [
        ("review", "list"),
        ("review", "delete", "999", "--yes"),
        ("review", "edit", "x"),
        ("event", "list", "Nobody"),
        ("event", "delete", "1.5", "--yes"),
        ("event", "edit"),
        ("event", INES),
        ("load", "delete", "-1", "--yes"),
        ("fault", "steps"),
        ("cue", INES, "delete", "999", "--yes"),
    ],
)
def test_what_is_not_there_is_an_error_in_one_line(reviewed: Cli, words: tuple[str, ...]) -> None:
    ran = reviewed(*words)
    assert ran.code == 2
    assert ran.out == ""
    assert ran.err.count("\n") == 1


@pytest.mark.parametrize(
    ("command", "kind", "without"),
    [
        ("swimmer add", Swimmer, ()),
        ("swimmer edit", Swimmer, ()),
        ("swimmer consent", Consent, ()),
        ("swim edit", Swim, ()),
        ("test add", SwimTest, ("test",)),
        ("review", ReviewItem, ()),
        ("fault", FaultStep, ("fault", "step")),
        ("fault", OwnFault, ("fault",)),
        ("cue x start", Work, ("kind", "text", "to_date", "per_week")),
        ("drill x start", Work, ("kind", "text", "to_date")),
        ("event", Event, ()),
        ("load", Load, ("week",)),
        ("next", Choice, ()),
    ],
)
def test_what_a_record_says_of_a_field_is_its_flag_and_its_help(
    cli: Cli, command: str, kind: type[Record], without: tuple[str, ...]
) -> None:
    said = " ".join(cli(*command.split(), "--help").out.split())
    for field in in_form_order(kind, *without):
        assert f"{field.flag} {field.value}" in said, field
    note = fields_called(kind, "note") if "note" in kind.model_fields else ()
    assert all(field.about.words in said for field in note)


def test_every_problem_of_a_test_definition_is_said_at_once(ines: Cli) -> None:
    ran = ines("test", "add", "Lake", "--kind", "what", "--rest", "x", "--duration", "1:75")
    assert ran.code == 2
    assert [part.split(":")[0] for part in ran.err.removeprefix("error: ").split("; ") if ":" in part] == [
        "test",
        "kind",
        "duration",
        "rest",
    ]


def test_a_drill_or_cue_that_feeds_an_open_fault_is_noted_when_it_begins(ines: Cli) -> None:
    """Catch-up is the pause in front, done on purpose (common practice, no source)."""
    assert ines("fault", INES, "open", "stroke-pausing", "--by", "Maud").code == 0
    noted = "can bring about or feed an uncorrected fault, pauses in front"
    assert noted in ines("drill", INES, "start", "catch up, 8 x 25").err
    assert noted in ines("cue", INES, "start", "long glide").err
    assert noted not in ines("drill", INES, "start", "fist").err
    shown = ines("fault", "list", "entry-crossing")
    assert "drill: catch-up (overdone, it can bring about stroke-pausing," in shown.out
    entry = ines("fault", "list", "entry-crossing", "--json").json["faults"][0]
    assert "stroke-pausing" in entry["drills_provoke"]["catch-up"]


def test_a_measure_stands_beside_the_club_s_own_where_no_norm_is_published(ines: Cli) -> None:
    """In the answer to the review, in why and on the back of the page; nobody else is named."""
    for number in range(8):
        assert ines("swimmer", "add", f"Other {number}").code == 0
        depth = f"kick-depth:left={30 + 2 * number}"
        assert ines("review", f"Other {number}", "--by", "Maud", "--measure", depth).code == 0
    said = "46 cm beside this club's own 9 swimmers (no published norm; read by Maud): median 38,"
    answer = ines("review", INES, "--by", "Maud", "--measure", "kick-depth:left=46")
    assert said in answer.out
    assert "Other" not in answer.out
    why = ines("why", INES)
    assert said in why.out
    assert "Other" not in why.out
    assert said not in ines("review", INES, "--by", "Bo Lind", "--measure", "kick-depth:left=46").out
