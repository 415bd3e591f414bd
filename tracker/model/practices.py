"""The practices that can hurt somebody, each with its caution in one line and where that comes from.

The table stands in ``practices.toml`` beside this file; `technique.practices` recognises them by their
words. No sqlmodel here: calculators read it too.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from tracker.model.vocabularies import BodyPart


class Caution(StrEnum):
    """What is cautioned against or advised, the gravest first."""

    SEE_A_PROFESSIONAL = "see-a-professional"
    AFTER_ILLNESS = "after-illness"
    PREGNANCY = "pregnancy"
    MAXIMAL_TEST = "maximal-test"
    MAXIMAL_EFFORT = "maximal-effort"
    CHILD = "child"
    GROWTH = "growth"
    ALONE = "alone"
    BREATH = "breath"
    UNDERWATER = "underwater"
    SHOULDER = "shoulder"
    PADDLES = "paddles"
    NECK = "neck"
    VERTICAL_KICK = "vertical-kick"
    FINS = "fins"
    OPEN_WATER = "open-water"
    HEAT = "heat"


@dataclass(frozen=True)
class Practice:
    """A practice that can hurt somebody.

    Attributes
    ----------
    what
        Its name in a sentence.
    line
        The caution, without the word before it.
    source
        Where the line comes from.
    words, firm, light
        Patterns of the words that bring it: those that a "no" before them takes back, those that it does
        not, and those of drills that stay when the part of the body is injured.
    holds_tests
        Whether it holds maximal tests back where it is on record.
    covered_by
        A practice whose line says all that this one's says.
    """

    code: Caution
    what: str
    line: str
    source: str
    words: tuple[str, ...] = ()
    firm: tuple[str, ...] = ()
    light: tuple[str, ...] = ()
    holds_tests: bool = False
    covered_by: Caution | None = None


@cache
def practices() -> Mapping[Caution, Practice]:
    """Return the table, the gravest first."""
    raw = _file()
    found = (_practice(row, raw["pieces"]) for row in raw["practice"])
    return {practice.code: practice for practice in found}


@cache
def body_part_words() -> Mapping[str, BodyPart]:
    """Return the words by which people name a part of the body."""
    named: Mapping[str, list[str]] = _file()["body_part"]
    return {word: BodyPart(part) for part, words in named.items() for word in words}


@cache
def _file() -> Mapping[str, Any]:
    return tomllib.loads(files("tracker.model").joinpath("practices.toml").read_text("utf-8"))


def _practice(row: Mapping[str, Any], pieces: Mapping[str, str]) -> Practice:
    def patterns(name: str) -> tuple[str, ...]:
        return tuple(
            re.sub(r"<(\w+)>", lambda at: pieces.get(at[1], at[0]), text) for text in row.get(name, ())
        )

    covered_by = row.get("covered_by")
    return Practice(
        Caution(row["code"]),
        row["what"],
        row["line"],
        row["source"],
        patterns("words"),
        patterns("firm"),
        patterns("light"),
        holds_tests=row.get("holds_tests", False),
        covered_by=None if covered_by is None else Caution(covered_by),
    )
