"""Sentences of the Monday list: what needs somebody."""

from __future__ import annotations

from collections.abc import Sequence
from typing import assert_never

from tracker.output.sentences.numbers import count
from tracker.technique.attention import Ground
from tracker.technique.monday import Matter, MondayLine


def ground_words(ground: Ground) -> str:
    """Return why somebody is needed."""
    match ground:
        case Ground.PLATEAU_OPEN_FAULT:
            return "new plateau, with a fault nobody is working on"
        case Ground.PLATEAU_UNREVIEWED:
            return "new plateau, with no fault on record for it"
        case Ground.PLATEAU_IN_WORK:
            return "new plateau, its fault is in work"
        case Ground.FAULT_BACK:
            return "a fault came back and waits"
        case Ground.SLIPPING:
            return "newly slipping"
        case Ground.SLOWED:
            return "newly slowed"
        case (
            Ground.TEST_DUE
            | Ground.LOOK_DUE
            | Ground.UNDECIDED
            | Ground.TOO_EARLY
            | Ground.GAINING
            | Ground.LEFT_ALONE
        ):
            return ground.value
        case other:
            assert_never(other)


def accept_words(matter: Matter) -> str:
    """Return what accepting a line does."""
    match matter:
        case Matter.VERDICT:
            return "mark as seen"
        case Matter.FAULT:
            return "log a step"
        case Matter.TEST:
            return "log the test"
        case Matter.LOOK:
            return "log the look"
        case other:
            assert_never(other)


def by_swimmer_words(lines: Sequence[MondayLine]) -> str:
    """Return all that needs somebody in one swimmer: "Bo Lind: newly slipping; test due"."""
    return f"{lines[0].swimmer}: {'; '.join(ground_words(line.ground) for line in lines)}"


def needs_words(lines: int, swimmers: int) -> str:
    """Return how much needs somebody."""
    if not lines:
        return "Nothing needs anybody: nothing new, nothing due."
    return f"{count(lines, 'thing needs', 'things need')} somebody, in {count(swimmers, 'swimmer')}."
