"""Correct now or in twelve weeks, randomised: the only comparison here that can show a cause.

The arms differ in nothing but the draw, so the difference of their hinges over the twelve weeks is
read as the effect. It takes many: the smallest effect that such a draw could detect is stated first, and
rounds are pooled later.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from tracker.errors import TooFewError
from tracker.model.swimmer import Choice
from tracker.model.units import DAYS_PER_MONTH
from tracker.model.vocabularies import Arm, ChoiceKind
from tracker.technique.effect import LEAST_CASES, Effect, pooled
from tracker.technique.fault_timeline import ChangeKind
from tracker.technique.matched_comparison import LAG_MONTHS, Hinge, Levels, contrasts, hinge

WEEKS_APART = 12
WEEKS_BEFORE = 26
"""Weeks of tests before the draw that tell a swimmer's own slope."""
SEEN_WITH_80 = 2.4865
"""Standard errors that a one-sided 5 % test sees with 80 % power: 1.6449 + 0.8416."""
_WEEK_MONTHS = 7 / DAYS_PER_MONTH


@dataclass(frozen=True)
class Draw:
    """One swimmer's draw: to start on `starts`."""

    swimmer: str
    fault: str
    side: str
    arm: Arm
    starts: dt.date


def draw(
    proposed: Sequence[tuple[str, str, str]], generator: np.random.Generator, *, on: dt.date
) -> tuple[Draw, ...]:
    """Return who starts on `on` and who twelve weeks later, in two random halves.

    Parameters
    ----------
    proposed
        Swimmer, fault and side; with an odd number the draw decides which half is larger.
    """
    order = generator.permutation(len(proposed))
    half = len(proposed) // 2 + (int(generator.integers(2)) if len(proposed) % 2 else 0)
    now = {int(place) for place in order[:half]}
    later = on + dt.timedelta(weeks=WEEKS_APART)
    return tuple(
        Draw(*one, Arm.NOW, on) if place in now else Draw(*one, Arm.LATER, later)
        for place, one in enumerate(proposed)
    )


def smallest_effect(
    now: int,
    later: int,
    *,
    tests_a_week: float,
    noise_pct: float,
    weeks_apart: float = WEEKS_APART,
    lag_weeks: float = LAG_MONTHS / _WEEK_MONTHS,
) -> float | None:
    """Return the smallest effect, percent per month, seen with 80 % power (one-sided 5 %).

    2.49 standard errors of the difference of two arms' mean hinges, each swimmer with an own level and
    slope from 26 weeks before; spread between swimmers not counted, so it is the best case.
    None if there is nobody in one arm, or no test falls after the lag.
    """
    if not now or not later or tests_a_week <= 0:
        return None
    weeks = np.arange(-WEEKS_BEFORE, weeks_apart + 1e-9, 1 / tests_a_week)
    t = weeks * _WEEK_MONTHS
    h = contrasts(t) @ np.maximum(t - lag_weeks * _WEEK_MONTHS, 0.0) if t.size > 2 else np.zeros(1)
    if not h @ h > 1e-9:
        return None
    error = noise_pct * math.sqrt((1 / now + 1 / later) / float(h @ h))
    return SEEN_WITH_80 * error


def randomised_start_effect(
    choices: Iterable[Choice], tested: Mapping[str, Levels], *, until: dt.date, fault: str = ""
) -> Effect:
    """Return the effect by the draws on record, whatever was really done (as drawn).

    Parameters
    ----------
    choices
        Only the draws among them ("stagger") are read; the first of a swimmer and fault counts.
    until
        A draw counts once its twelve weeks are over.
    fault
        One fault; empty pools all.
    """
    arms: dict[str, list[Hinge]] = {arm: [] for arm in Arm}
    drawn: set[tuple[str, str, str]] = set()
    for choice in sorted(choices, key=lambda choice: choice.date):
        key = (choice.swimmer, choice.fault, choice.side)
        over = choice.date + dt.timedelta(weeks=WEEKS_APART) <= until
        if (
            choice.kind != ChoiceKind.STAGGER
            or choice.value not in arms
            or key in drawn
            or fault not in {"", choice.fault}
        ):
            continue
        drawn.add(key)
        found = (
            hinge(
                tested[choice.swimmer],
                choice.date,
                months=WEEKS_BEFORE * _WEEK_MONTHS,
                after=WEEKS_APART * _WEEK_MONTHS,
            )
            if over and choice.swimmer in tested
            else None
        )
        if found is not None:
            arms[choice.value].append(found)
    now, later = arms[Arm.NOW], arms[Arm.LATER]
    counted = Effect(ChangeKind.DRAW, fault, "", len(drawn), len(now), len(later))
    if min(len(now), len(later)) < LEAST_CASES:
        return counted.without("too few cases")
    try:
        return pooled(now, later, counted)
    except TooFewError:
        return counted.without("cases that can't be told apart")
