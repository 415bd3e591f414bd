"""Help and calculators say what a reader needs, each flag in a line of its own."""

from __future__ import annotations

import argparse

import pytest

from tests.cli.conftest import Cli
from tracker.cli.commands import COMMANDS, load, parser_of


@pytest.mark.parametrize("name", COMMANDS)
def test_every_flag_and_argument_of_every_command_says_what_it_is(name: str) -> None:
    whole = parser_of(name, load(name))
    bare = [
        f"{one.prog} {'/'.join(action.option_strings) or action.metavar}"
        for one in (whole, *whole.verbs().values())
        for action in (*one.arguments(), *one.flags())
        if not isinstance(action, argparse._SubParsersAction) and not one.help_of(action).strip()
    ]
    assert bare == []


def test_the_flag_of_the_sex_says_both_things_it_is_used_for(cli: Cli) -> None:
    assert "growth and ageing" in " ".join(cli("swimmer", "add", "--help").out.split())


def test_the_flag_of_the_roster_says_that_it_stands_in_place_of_the_pages(cli: Cli) -> None:
    assert "in place of the pages" in " ".join(cli("page", "--help").out.split())


def test_a_score_of_strokes_and_seconds_promises_nothing(cli: Cli) -> None:
    said = cli("stroke", "25", "20", "24").out
    assert "strokes + seconds 44 (compare only with your own in the same pool, at the same pace" in said
    assert "lower is not always better" in said


def test_what_is_said_of_css_does_not_contradict_itself(cli: Cli) -> None:
    said = cli("css", "6:40", "3:10")
    assert "studies found it held for 15 to 40 minutes" in said.out + said.err
    assert "use it to check the times, not as a result" in said.out
