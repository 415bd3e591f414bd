"""Whole seasons for the tests of charts and pages: invented, seeded, of any length."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np

from tests.output.cases import AS_OF, LINK, NAMES, verdict_like
from tests.output.lines import line_of
from tracker.engine.verdict.verdict import Curve, FewTests, Point, SetAside, Verdict
from tracker.model.event import Event
from tracker.model.fault import FaultStep
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.model.work import Work
from tracker.output.pages.season import Season
from tracker.settings import DEFAULT, Settings
from tracker.technique.fault_timeline import spells
from tracker.technique.privacy import in_evidence

FIRST = dt.date(2025, 5, 2)
LAST = dt.date(2026, 6, 28)
MONTH = dt.date(2026, 6, 1)
TYPING_ERROR = dt.date(2025, 11, 3)


def level(days: float) -> float:
    """Return a pace that gets faster for 285 days and then stays."""
    return 107.0 - 0.02 * min(days, 285.0)


def verdict_with_points(tests: int, seed: int = 3) -> Verdict | None:
    """Return the plateau with `tests` points about its line, one of them a typing error if there are many."""
    if tests == 0:
        return None
    rng = np.random.default_rng(seed)
    span = (LAST - FIRST).days
    days = np.linspace(0, span, tests) if tests > 1 else np.array([float(span)])
    paces = [level(d) * (1 + 0.0115 * rng.normal()) for d in days]
    points = [
        Point(
            FIRST + dt.timedelta(round(d)), p, p, "200 m LCM" if i % 7 == 6 else "400 m SCM", set_aside=False
        )
        for i, (d, p) in enumerate(zip(days, paces, strict=True))
    ]
    if tests > 20:
        points.append(Point(TYPING_ERROR, 64.0, 64.0, "400 m SCM", set_aside=True))
    knots = np.linspace(float(days[0]), span, 33) if tests > 1 else np.array([float(span)])
    line = [level(k) for k in knots]
    curve = Curve(
        tuple(FIRST + dt.timedelta(round(k)) for k in knots),
        tuple(line),
        tuple(p - 0.8 for p in line),
        tuple(p + 0.8 for p in line),
    )
    first = FIRST if tests > 1 else LAST
    if tests < 8:
        return verdict_like(
            verdict="too early",
            tests=tests,
            first=first,
            points=tuple(points),
            flat_stretches=(),
            set_aside=(),
            reasons=(FewTests(tests, 8),),
            present_pace=line[-1],
        )
    return verdict_like(
        tests=tests,
        points=tuple(points),
        curve=curve,
        present_pace=line[-1],
        set_aside=(SetAside(TYPING_ERROR, 9.2, 120.0),) if tests > 20 else (),
    )


STEPS = (
    FaultStep(
        date=dt.date(2025, 7, 1),
        swimmer="Ines Aalto",
        fault="exit-early",
        side="left",
        step="open",
        severity=2,
        reviewer="Maud",
    ),
    FaultStep(date=dt.date(2025, 12, 2), swimmer="Ines Aalto", fault="exit-early", side="left", step="work"),
    FaultStep(
        date=dt.date(2026, 2, 20),
        swimmer="Ines Aalto",
        fault="exit-early",
        side="left",
        step="corrected",
        reviewer="Maud",
    ),
    FaultStep(
        date=dt.date(2026, 1, 30),
        swimmer="Ines Aalto",
        fault="breath-late",
        side="left",
        step="open",
        severity=3,
        reviewer="Maud",
    ),
    FaultStep(
        date=dt.date(2026, 6, 12),
        swimmer="Ines Aalto",
        fault="breath-late",
        side="left",
        step="work",
        reviewer="Maud",
    ),
    FaultStep(date=dt.date(2025, 9, 1), swimmer="Ines Aalto", fault="kick-wide", step="parked", note="later"),
)
WORK = (
    Work(
        from_date=dt.date(2026, 6, 12),
        swimmer="Ines Aalto",
        kind="cue",
        fault="breath-late",
        text="face back before the hand",
    ),
    Work(
        from_date=dt.date(2026, 6, 12),
        swimmer="Ines Aalto",
        kind="drill",
        fault="breath-late",
        text="side kick to the left",
        per_week=2,
    ),
)
EVENTS = (
    Event(from_date=dt.date(2026, 2, 3), to_date=dt.date(2026, 2, 12), swimmer="Ines Aalto", kind="layoff"),
    Event(from_date=dt.date(2025, 9, 1), swimmer="Ines Aalto", kind="pool", note="50 m pool"),
    Event(
        from_date=dt.date(2025, 10, 1),
        to_date=dt.date(2025, 10, 9),
        swimmer="Ines Aalto",
        kind="injury",
        note="shoulder",
    ),
)


def _swims(name: str) -> tuple[Swim, ...]:
    days = (5, 12, 19, 26)
    singles = [
        Swim(
            date=dt.date(2026, 6, day),
            swimmer=name,
            test="t400",
            distance_m=400,
            time_s=405.2 + day / 10,
            strokes="19",
            rate_cpm=29.5,
        )
        for day in days
    ]
    pair = [
        Swim(
            date=dt.date(2026, 6, 28), swimmer=name, test="css", distance_m=distance, time_s=time, set_id="a"
        )
        for distance, time in ((400, 404.9), (200, 193.1))
    ]
    return (*singles, *pair)


def season_of(
    tests: int = 54, *, name: str = "Ines Aalto", group: str = "morning", settings: Settings = DEFAULT
) -> Season:
    """Return a season with that many tests."""
    verdict = verdict_with_points(tests)
    plateau = verdict is not None and verdict.verdict == "plateau"
    line = line_of(verdict, LINK if plateau else None, name=name, group=group)
    return Season(
        swimmer=Swimmer(swimmer=name, group=group),
        month=MONTH,
        as_of=AS_OF,
        line=line,
        names={**NAMES, "kick-wide": "kick too wide"},
        spells=spells(STEPS, AS_OF) if tests else (),
        swims=_swims(name) if tests else (),
        steps=STEPS if tests else (),
        work=WORK if tests else (),
        events=in_evidence(EVENTS, settings) if tests else (),
        settings=settings,
    )


def renamed(season: Season, name: str) -> Season:
    """Return the season under another name, written past validation as a foreign hand may have."""
    swimmer = Swimmer.model_construct(**{**season.swimmer.model_dump(), "swimmer": name})
    return replace(season, swimmer=swimmer, line=replace(season.line, swimmer=name))
