"""How much sooner two tests a week tell than one, and whether they may be of two protocols."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tests.simulate.seasons import QUICK, Season, errors_of
from tests.validation.detection import CHANGE, HEADS, MONTHS, row_of
from tests.validation.door import learned_from, looks, observed_of
from tests.validation.part import Part, Scale
from tests.validation.plan import Plan, made
from tests.validation.table import Table
from tracker.model.units import DAYS_PER_MONTH

SEED, SIZE, ROSTER_SIZE = 9150, 24, 60
GAP = {"one 400 a week": None, "400 and 200 on one day": 0, "400 and 200, three days apart": 3,
       "two 400s, three days apart": 3}  # fmt: skip
FROM = 9.0
"""Month of the first look."""
OFFSET, SPREAD = 5.0, 1.0
"""Percent by which a swimmer's 200 is faster than the 400, and how far swimmers differ in it."""


def run(scale: Scale) -> Part:
    """Give the same swimmers a second test a week."""
    rows = []
    for name in scale.some(GAP):
        roster = [_with_second(s, name, i) for i, s in enumerate(_roster(scale))]
        learned = learned_from(roster)
        rng = np.random.default_rng(SEED)
        plan = Plan(before=0.6, after=0.0, change=CHANGE, months=MONTHS)
        swimmers = [_with_second(made(rng, plan), name, 1000 + i) for i in range(scale.of(SIZE))]
        seen = looks(*observed_of(swimmers, learned), start=FROM)
        rows.append((name, *row_of(seen, len(swimmers), MONTHS - CHANGE)))
    table = Table(
        "two_protocols",
        "Two tests a week against one, after 0.6 -> 0 %/month",
        f"The same {scale.of(SIZE)} swimmers (seed {SEED}) with the same 400s; noise of either test "
        "0.8-1.4 %; tests of "
        f"one day share half their variance; the 200 is faster by {OFFSET:g} % (sd {SPREAD:g} "
        "between swimmers), which "
        f"the tool learns from a roster of {scale.of(ROSTER_SIZE, 30)} that tests alike. Weekly "
        "looks, the word held, from month 9 on "
        '(so "called plateau before" is of months 9 to 12 only).',
        ("tests", *HEADS),
        tuple(rows),
    )
    return Part((table,))


def _roster(scale: Scale) -> list[Season]:
    rng = np.random.default_rng((SEED, 1))
    plans = [Plan(before=float(rng.uniform(0.3, 1.2)), after=float(rng.choice([0.0, 0.0, 0.8])),
                  change=float(rng.uniform(4, 16)), months=float(rng.uniform(8, 24)))
             for _ in range(scale.of(ROSTER_SIZE, 30))]  # fmt: skip
    return [made(rng, plan) for plan in plans]


def _with_second(swimmer: Season, name: str, number: int) -> Season:
    """Return the swimmer with a second test a week, whose errors hang on nothing but its number."""
    apart = GAP[name]
    if apart is None:
        return swimmer
    rng = np.random.default_rng((SEED, 2, number))
    day = np.round(swimmer.t * DAYS_PER_MONTH).astype(np.int64)
    later = day + apart
    later = later[later < swimmer.rate.size]
    level = np.concatenate([[0.0], np.cumsum(swimmer.rate[:-1] / DAYS_PER_MONTH)])
    error = errors_of(rng, QUICK, later, swimmer.noise)
    first = swimmer.y
    if apart == 0:
        error = 0.5 * (swimmer.y[: later.size] - level[later]) + np.sqrt(0.75) * error
    kind = 0 if name.startswith("two") else 1
    own = rng.normal(OFFSET, SPREAD) * kind
    days = np.concatenate([day, later])
    order = np.argsort(days, kind="stable")
    return replace(
        swimmer,
        t=days[order] / DAYS_PER_MONTH,
        y=np.concatenate([first, level[later] + own + error])[order],
        kind=np.concatenate([np.zeros(day.size, np.int64), np.full(later.size, kind)])[order],
    )
