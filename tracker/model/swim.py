"""One performance: what was swum, where, how fast."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator
from sqlmodel import Field

from tracker.model.about import About
from tracker.model.base import ClockTime, Course, Line, Name, Record, Remark, Seconds
from tracker.model.stroke import HIGHEST_RATE_CPM
from tracker.model.vocabularies import Decision


def _counts(text: str) -> str:
    counts = text.split()
    if any(not (count.isascii() and count.isdigit() and 1 <= int(count) <= 200) for count in counts):
        raise ValueError("is not stroke counts per length (1 to 200, separated by spaces)")
    return " ".join(str(int(count)) for count in counts)


StrokeCounts = Annotated[str, AfterValidator(_counts)]
"""Strokes per length: one number, or several separated by spaces; empty if not counted."""


def _no_is_nothing(value: object) -> object:
    return "" if isinstance(value, str) and value.lower() == "no" else value


class Swim(Record):
    """One timed swim.

    Attributes
    ----------
    test
        Short name of the test definition it belongs to; empty for a swim outside any test.
    distance_m
        Metres in every course.
    rest_s
        Rest before this swim within its set.
    rate_cpm
        Stroke cycles (two arm strokes) per minute.
    set_id
        Shared by the swims of one test (a CSS pair, the repeats).
    """

    date: Annotated[
        dt.date,
        About(
            "day it was swum, YYYY-MM-DD",
            empty="today",
            order=1,
            headers="day, test date, swim date, date of test, datum, tag, testdatum, jour, fecha, dia, data, "
            "giorno, dag",
        ),
    ]
    swimmer: Name
    test: Annotated[
        Line,
        About(
            "short name of the test it was",
            value="TEST",
            headers="test name, swim test, schwimmtest, epreuve, prueba, prova",
        ),
    ] = ""
    distance_m: Annotated[
        float,
        About(
            "how far it was",
            value="400m|400yd",
            hint="400 in the course's unit, or 400m, 400yd",
            name="distance",
            headers="distance, dist, metres, meters, m, strecke, distanz, meter, distancia, metros, "
            "distanza, metri",
        ),
    ] = Field(gt=0, le=100_000)
    time_s: Annotated[
        Seconds,
        About(
            "what was swum, m:ss or seconds",
            hint="m:ss, m:ss.t or seconds",
            name="time",
            column="time",
            headers="result, swim time, seconds, time_s, zeit, schwimmzeit, endzeit, ergebnis, sekunden, "
            "temps, chrono, resultat, secondes, tiempo, resultado, segundos, tempo, risultato, secondi, tid",
        ),
    ]
    course: Annotated[
        Course,
        About(
            "SCM, LCM, SCY, OW or a pool length such as 33.3m",
            value="C",
            hint="SCM, LCM, SCY, OW or 33.3m",
            empty="the usual pool",
            order=1,
            headers="pool, pool length, becken, bahn, bahnlange, beckenlange, bassin, piscina, vasca",
        ),
    ] = "SCM"
    suit: Annotated[Literal["none", "wetsuit"], About("what was worn", order=1)] = "none"
    kit: Annotated[Line, About("paddles, buoy, fins ...", value="K")] = ""
    start: Annotated[Literal["", "push", "dive"], About("how it began", empty="as the test says")] = ""
    at: Annotated[
        ClockTime,
        About(
            "time of day; morning or evening is worth saying, for pace goes by it",
            hint="HH:MM; morning or evening is worth saying",
            label="time of day",
            order=5,
        ),
    ] = ""
    warmup_min: Annotated[
        float | None,
        About(
            "minutes from the end of the warm-up to the start",
            value="MIN",
            hint="minutes from its end to the start",
            name="warmup",
            label="after warm-up",
            order=4,
        ),
    ] = Field(default=None, ge=0, le=600)
    rest_s: Annotated[
        float | None,
        About(
            "rest between the swims, seconds",
            value="S",
            hint="seconds between the swims",
            name="rest",
            order=3,
        ),
    ] = Field(default=None, ge=0, le=86_400)
    strokes: Annotated[
        StrokeCounts,
        About(
            "strokes per length: one for all, one a swim, or one a length",
            value="N[,N...]",
            hint="per length: one for all, one a swim, or one a length",
            typed="list",
            order=2,
            headers="stroke count, strokes per length, zyklen",
        ),
    ] = ""
    rate_cpm: Annotated[
        float | None,
        About(
            "stroke rate: cycles or strokes a minute",
            value="32cpm|64spm",
            hint="32cpm (cycles) or 64spm (strokes)",
            name="rate",
            label="stroke rate",
            typed="rate",
            order=2,
            headers="stroke rate, rate, frequenz",
        ),
    ] = Field(default=None, gt=0, le=HIGHEST_RATE_CPM)
    effort: Annotated[
        int | None,
        About(
            "how hard it felt; below 8 is no test",
            value="1-10",
            hint="1 easy to 10 all out; below 8 is no test",
            order=2,
            headers="rpe, exertion",
        ),
    ] = Field(default=None, ge=1, le=10)
    taper: Annotated[
        Literal["", "yes"],
        BeforeValidator(_no_is_nothing),
        About(
            "yes if training was cut down for a race",
            hint="yes if training was cut down for a race",
            order=6,
            headers="tapered, tapering, affutage, affinamento",
        ),
    ] = ""
    conditions: Annotated[Line, About("water and weather")] = ""
    set_id: Annotated[Line, About(name="set", column="set", fixed=True)] = ""
    decision: Annotated[Decision, About(fixed=True)] = Decision.UNDECIDED
    note: Remark = ""

    @property
    def pace(self) -> float:
        """Seconds per 100 m."""
        return 100.0 * self.time_s / self.distance_m
