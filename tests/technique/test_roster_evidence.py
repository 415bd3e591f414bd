"""A roster's record turned into comparisons: what counts as a level, a look, a change."""

from __future__ import annotations

import datetime as dt
import math

import numpy as np
import pytest

from tests.technique.build import SWIMMER, a_verdict, day, steps
from tests.technique.natural import a_natural_season
from tracker.engine.verdict.verdict import Point
from tracker.model.review import ReviewItem
from tracker.model.work import Work
from tracker.technique.fault_timeline import timelines
from tracker.technique.roster_evidence import Person, RosterEvidence, levels_of, looks_of

AS_OF = dt.date(2026, 12, 31)


def test_levels_are_the_points_on_the_line_s_scale_without_those_set_aside() -> None:
    """100 s per 100 m is -460.5 %; one percent faster is one more; the typing error is left out."""
    points = (
        Point(day("02-01"), 99.0, 100.0 * math.exp(-0.01), "t400", set_aside=False),
        Point(day("01-01"), 100.0, 100.0, "t400", set_aside=False),
        Point(day("01-15"), 60.0, 60.0, "t400", set_aside=True),
    )
    found = levels_of(a_verdict(points=points))
    assert found.days.tolist() == [day("01-01").toordinal(), day("02-01").toordinal()]
    assert found.y[1] - found.y[0] == pytest.approx(1.0)


def test_looks_are_reviews_and_steps_that_a_reviewer_saw() -> None:
    item = ReviewItem(date=day("02-01"), swimmer=SWIMMER, reviewer="Maud", kind="look")
    known = steps("01-10 open kick-hard", "02-01 seen kick-hard Maud", "03-01 seen kick-hard Teo")
    assert looks_of([item], known) == ((day("02-01"), "Maud"), (day("03-01"), "Teo"))


def a_roster(count: int = 30) -> list[Person]:
    """Return swimmers of natural seasons; each tenth had a catch corrected in March 2026."""
    rng = np.random.default_rng(31)
    people = []
    for place in range(count):
        season = a_natural_season(f"swimmer {place}", rng)
        points = tuple(
            Point(dt.date.fromordinal(int(on)), 90.0, 100 * math.exp(-y / 100), "t400", set_aside=False)
            for on, y in zip(season.days, season.y, strict=True)
        )
        verdict = a_verdict("gaining" if place % 3 else "plateau", swimmer=season.swimmer, points=points)
        lines = ["2025-12-01 open breath-late 2 Maud"]
        if place % 10 == 0:
            lines.append("03-01 corrected breath-late Maud")
        work = [
            Work(
                from_date=day("02-01"), swimmer=season.swimmer, kind="drill", fault="breath-late", text="fist"
            )
        ]
        known = steps(*lines) if place % 2 == 0 else []
        people.append(
            Person(
                season.swimmer,
                "Tri squad",
                verdict,
                timelines(known, AS_OF),
                looks_of([], known) or ((day("01-05"), "Maud"),),
                work if place % 4 == 0 else [],
            )
        )
    return people


def test_odds_and_effects_of_one_fault_come_from_the_same_roster() -> None:
    evidence = RosterEvidence(a_roster(), as_of=AS_OF)
    found = evidence.of("breath-late")
    assert found.odds is not None
    assert (found.odds.with_all, found.odds.without_all) == (12, 18)
    assert found.correction is not None
    assert (found.correction.tried, found.correction.missing) == (3, "too few cases")
    assert evidence.of("breath-late") is found


def test_all_effects_are_listed_by_kind_then_by_fault_and_draws_only_if_there_are_any() -> None:
    effects = RosterEvidence(a_roster(), as_of=AS_OF).effects()
    assert [(effect.kind, effect.fault, effect.tried) for effect in effects] == [
        ("correction", "", 3),
        ("cue", "", 0),
        ("drill", "", 8),
        ("correction", "breath-late", 3),
        ("drill", "breath-late", 8),
    ]


def test_nothing_after_the_day_is_counted() -> None:
    evidence = RosterEvidence(a_roster(), as_of=day("02-15"))
    assert {change.kind for change in evidence.changes} == {"drill"}
    assert [effect.kind for effect in evidence.effects_on("breath-late")] == ["drill"]
