"""A fault of the coach's own: added, listed, used and taken back."""

from __future__ import annotations

import pytest

from tests.cli.conftest import Cli

WRIST = ("fault", "add", "own-wrist", "--name", "wrist bends", "--area", "catch")


def test_an_own_fault_is_added_used_and_undone(ines: Cli) -> None:
    ran = ines(*WRIST, "--cue", "flat hand", "--cue", "push the wall", "--answers", "quick", "--json")
    (told,) = ran.json["faults"]
    assert (told["slug"], told["name"], told["area"], told["answers"]) == (
        "own-wrist",
        "wrist bends",
        "catch",
        "quick",
    )
    assert told["cues"] == ["flat hand", "push the wall"]
    assert ines("fault", "list").out.splitlines()[-1].startswith("own-wrist\twrist bends")
    assert ines("fault", "Ines Aalto", "open", "own-wrist", "--by", "Maud").code == 0
    assert ines("undo").code == ines("undo").code == 0
    assert ines("fault", "list", "own-wrist").code == 2


def test_it_comes_out_and_in_with_the_club(ines: Cli) -> None:
    assert ines(*WRIST, "--drill", "side kick to the left").code == 0
    assert ines("export", "out").code == 0
    assert ines("--db", "other.db", "import", "out").code == 0
    assert "drill: side kick to the left" in ines("--db", "other.db", "fault", "list", "own-wrist").out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("fault", "add"), "say which short name"),
        (("fault", "add", "own-wrist"), "name: is missing"),
        (("fault", "add", "wrist", "--name", "x"), "does not begin with 'own-'; write 'own-wrist'"),
        (("fault", "add", "own-Wrist", "--name", "x"), "is not a short name"),
        (
            ("fault", "add", "own-x", "--name", "x", "--answers", "soon"),
            "is none of 'quick', 'medium', 'slow'",
        ),
        (("fault", "Ines Aalto", "open", "breath-late", "--cue", "x"), "--cue goes with 'fault add' only"),
    ],
    ids=" ".join,
)
def test_what_makes_no_entry_is_refused(ines: Cli, words: tuple[str, ...], said: str) -> None:
    ran = ines(*words)
    assert ran.code == 2
    assert said in ran.err


def test_a_short_name_is_taken_once(ines: Cli) -> None:
    assert ines(*WRIST).code == 0
    ran = ines(*WRIST)
    assert ran.code == 2
    assert "is there already; take another short name" in ran.err
