"""An error says what, where, and how to mend it; one of a thing is not several."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli

NAME = "Ines Aalto"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("fault", NAME, "open", "wobble"),
            "no fault is called 'wobble'; 'slackwater fault list' lists them",
        ),
        (("cue", NAME, "start", "x", "--fault", "wobble"), "'slackwater fault list' lists them"),
        (("review", NAME, "--fault", "wobble"), "'slackwater fault list' lists them"),
        (("review", NAME, "--score", "qqq=3"), "no area is called 'qqq'; 'slackwater review areas' lists"),
        (("review", NAME, "--measure", "qqq=3"), "no measure is called 'qqq'; 'slackwater review areas'"),
        (("show", "qqq"), "no swimmer is called 'qqq'; 'slackwater swimmer list' lists them"),
        (("cue", NAME, "stop", "qqq"), "no cue in use is called 'qqq'; 'slackwater cue NAME list'"),
        (("swim", "delete", "99", "--yes"), "no swim has the number 99; 'slackwater swims NAME' lists them"),
        (("event", "delete", "99", "--yes"), "no event has the number 99; 'slackwater event list NAME'"),
        (("review", "delete", "99", "--yes"), "no entry of a review has the number 99"),
        (
            ("fault", "delete", "99", "--yes"),
            "no step of a fault has the number 99; 'slackwater fault steps NAME'",
        ),
        (("load", "delete", "99", "--yes"), "no week has the number 99; 'slackwater load list NAME'"),
        (("scan", "--group", "qqq"), "no group is called 'qqq'; 'slackwater swimmer list' shows the groups"),
        (("config", "show", "qqq"), "no setting is called 'qqq'; 'slackwater config show' lists them"),
        (
            ("log", NAME, "t400", "6:40", "--strokes", "18.5"),
            "strokes: '18.5' is not stroke counts per length",
        ),
        (
            ("log", NAME, "t400", "6:40", "--at", "25:00"),
            "at: '25:00' is not a time of day; write it as 07:30",
        ),
        (("log", NAME, "t400", "6:40", "--start", "run"), "start: 'run' is none of 'push', 'dive'"),
        (("fault", NAME, "open", "breath-late", "--side", "up"), "side: 'up' is none of 'left', 'right'"),
        (("css", "6:40", "--distances", "400,200"), "1 time for 2 distances (400,200); give one each"),
    ],
    ids=lambda value: " ".join(value) if isinstance(value, tuple) else "",
)
def test_an_error_names_what_was_typed_and_what_to_do(ines: Cli, words: tuple[str, ...], said: str) -> None:
    ran = ines(*(("swimmer", *words) if words[0] == "show" else words))
    assert ran.code == 2
    assert said in ran.err
    assert len(ran.err.splitlines()) == 1


def test_a_name_that_is_near_is_proposed_instead_of_the_list(ines: Cli) -> None:
    assert ines("fault", NAME, "open", "brea").err.endswith(
        "did you mean breath-lift, breath-late, breath-held?\n"
    )


def test_one_of_a_thing_is_said_so(ines: Cli, home: Path) -> None:
    (home / "swims.csv").write_text("date,swimmer,test,distance_m,time\n2026-05-04,Ana,t400,400,6:45\n")
    assert ines("import", "swims.csv").out == "stored: 1 swim, 1 swimmer\n"
    assert "week of 2026-06-22: 1 session\n" in ines("load", NAME, "2026-06-22", "--sessions", "1").out
    assert ines("drill", NAME, "start", "side kick to the left", "--per-week", "1").out.endswith(
        "side kick to the left, 1 a week\n"
    )
    (home / "sheet.csv").write_text("swimmer,test,date,time 400\nAna,t400,2026-06-30,6:40\n")
    assert ines("log", "--table", "sheet.csv").code == 0
    last = ines("history", "--last", "1", "--json").json["history"][0]
    assert last["what"] == "log a test for 1 swimmer"
