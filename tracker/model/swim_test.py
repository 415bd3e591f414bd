"""Test definitions: what is swum, from which start, by which protocol."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator
from sqlmodel import Field

from tracker.model.about import About
from tracker.model.base import Label, Line, Note, Record
from tracker.model.vocabularies import SwimTestKind


def _slug(text: str) -> str:
    if not text or not all(c.isascii() and (c.islower() or c.isdigit() or c == "-") for c in text):
        raise ValueError(f"{text!r} is not a short name; use small letters, digits and hyphens")
    return text


def _distances(text: str) -> str:
    parts = text.split()
    if any(not (part.isascii() and part.isdigit() and 0 < int(part) <= 100_000) for part in parts):
        raise ValueError("is not a list of distances in metres, such as '400 200'")
    return " ".join(str(int(part)) for part in parts)


Slug = Annotated[Label, AfterValidator(_slug)]


class SwimTest(Record):
    """A test definition.

    Attributes
    ----------
    test
        Short name.
    distances
        Metres (yards in a yard pool), separated by spaces; empty for a duration.
    protocol
        The steps in words, one a line.
    """

    test: Annotated[
        Slug,
        About(
            "short name: small letters, digits, hyphens",
            value="TEST",
            hint="small letters, digits, hyphens: lake-750",
            label="short name",
            order=1,
        ),
    ]
    name: Annotated[Line, About("name in words", hint="in words", order=1)] = ""
    stroke: Annotated[
        Literal["free", "back", "breast", "fly", "medley"], About("how it is swum", empty="free", order=2)
    ] = "free"
    kind: Annotated[
        SwimTestKind,
        About("what it asks for", empty="distances", order=1),
    ] = SwimTestKind.DISTANCES
    distances: Annotated[
        str,
        AfterValidator(_distances),
        About(
            "metres, in the order swum",
            value="M[,M...]",
            hint="metres in the order swum: 400 200",
            typed="list",
            order=1,
        ),
    ] = ""
    duration_s: Annotated[
        float | None,
        About(
            "how long, for the kind duration",
            value="TIME",
            hint="20:00",
            name="duration",
            typed="duration",
            order=1,
        ),
    ] = Field(default=None, gt=0, le=86_400)
    start: Annotated[Literal["push", "dive"], About("how it begins", empty="push", order=2)] = "push"
    rest_s: Annotated[
        float | None,
        About(
            "usual rest between the swims, seconds",
            value="S",
            hint="usual, between the swims, seconds",
            name="rest",
            order=2,
        ),
    ] = Field(default=None, ge=0, le=86_400)
    protocol: Annotated[Note, About("the steps in words", hint="in words", label="steps")] = ""


_START = "Push off from the wall, no dive, nobody ahead to follow."
_START_IN_OPEN_WATER = "Start in the water beside the safety cover, nobody ahead to follow."
_PUSH = (
    "Warm up easily for 10 to 20 minutes, with two or three short faster swims.",
    _START,
)


def _even(distance: str) -> str:
    """Return the protocol of one even, maximal swim."""
    return "\n".join(
        (
            *_PUSH,
            f"Swim {distance} as fast as can be held evenly; count the lengths.",
            "Write down the time at the touch, strokes per length in the middle, and how hard it felt.",
        )
    )


BUILT_IN: tuple[SwimTest, ...] = (
    SwimTest(
        test="css",
        name="critical swim speed, 400 + 200 m",
        distances="400 200",
        rest_s=480,
        protocol="\n".join(
            (
                *_PUSH,
                "Swim 400 m as fast as can be held evenly.",
                "Swim easily for 5 to 10 minutes, each time the same.",
                "Swim 200 m in the same way.",
                "Write down both times, the rest between, and strokes per length.",
            )
        ),
    ),
    SwimTest(test="t200", name="200 m", distances="200", protocol=_even("200 m")),
    SwimTest(test="t400", name="400 m", distances="400", protocol=_even("400 m")),
    SwimTest(test="t1000", name="1000 m", distances="1000", protocol=_even("1000 m")),
    SwimTest(test="t1500", name="1500 m", distances="1500", protocol=_even("1500 m")),
    SwimTest(
        test="t30",
        name="30 minutes",
        kind=SwimTestKind.DURATION,
        duration_s=1800,
        protocol="\n".join(
            (
                *_PUSH,
                "Swim as far as you can in 30 minutes at an even pace.",
                "Write down the distance to the nearest 5 m.",
            )
        ),
    ),
    SwimTest(
        test="reps",
        name="repeats at a fixed rest",
        kind=SwimTestKind.REPEATS,
        rest_s=20,
        protocol="\n".join(
            (
                *_PUSH,
                "Swim the repeats at the fastest pace that can be held for all of them.",
                "Take the same rest each time, and write down every time.",
            )
        ),
    ),
)

SHORT_TEST = next(one for one in BUILT_IN if one.test == "t400")
"""What is proposed to the youngest in place of a longer test."""


def in_open_water(test: SwimTest) -> SwimTest:
    """Return the same test with the start that there is without a wall."""
    return test.model_copy(update={"protocol": test.protocol.replace(_START, _START_IN_OPEN_WATER)})
