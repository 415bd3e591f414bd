"""The three populations that the figures to reach are stated for, judged on seeds nothing was tuned on."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from tests.simulate.seasons import JOINT, QUICK, SLOW, Season, Style, seasons
from tests.validation.door import breaks_of, case_of
from tests.validation.part import Scale
from tracker.engine.trend.posterior import Answer
from tracker.engine.verdict.judge import Case
from tracker.model.units import DAYS_PER_MONTH

STYLES = {"quick": QUICK, "slow": SLOW, "joint": JOINT}
LONGER = replace(QUICK, usual_spell=40.0)
"""Quick improvers who change course every 40 weeks on average instead of every 26."""
MILDER = {
    "as it is": QUICK,
    "no unmarked lay-offs": replace(QUICK, layoff=0.0),
    "no smooth slow-downs": replace(QUICK, smooth=0.0),
    "no spell under 12 weeks": replace(QUICK, shortest=12),
    "longer spells": LONGER,
    "no lay-offs, none smooth": replace(QUICK, layoff=0.0, smooth=0.0),
}
"""The quick population without what the stretches suffer from most."""
BROKEN = {
    "a fifth with a break of 1-2.5 %": QUICK,
    "half with a break of 1-2.5 %": replace(QUICK, layoff=0.5),
    "half with a break of 4-6 %": replace(QUICK, layoff=0.5, loss=(4.0, 6.0)),
    "half with a break that cost nothing": replace(QUICK, layoff=0.5, loss=(0.0, 0.0)),
}
"""The quick population with breaks, which may be on record or not."""
SEEDS = {"quick": (9101, 9102), "slow": (9103, 9104), "joint": (9105, 9106)}
THRESHOLD = {"quick": 0.5, "slow": 0.3, "joint": 0.3}
SIZE = 800


@dataclass(frozen=True)
class Judged:
    """A file of swimmers as one roster: priors learned from it, every swimmer judged at the last test."""

    swimmers: list[Season]
    case: Case


@lru_cache
def judged(name: str, seed: int, size: int) -> Judged:
    """Draw a roster and judge it."""
    return judged_of(STYLES[name], seed, size)


def judged_of(style: Style, seed: int, size: int, *, marked: bool = False) -> Judged:
    """Draw a roster of a style and judge it; `marked`: breaks that cost speed are on record."""
    swimmers = [from_first_test(s) for s in seasons(np.random.default_rng(seed), size, style)]
    return Judged(swimmers, case_of(swimmers, events=breaks_of(swimmers) if marked else None))


def from_first_test(swimmer: Season) -> Season:
    """Return the swimmer with time and truth counted from the first test, as a record is."""
    first = float(swimmer.t[0])
    spans = tuple((max(a - first, 0.0), b - first) for a, b in swimmer.stretches if b > first)
    return replace(
        swimmer,
        t=swimmer.t - first,
        rate=swimmer.rate[round(first * DAYS_PER_MONTH) :],
        stretches=spans,
        back=None if swimmer.back is None else swimmer.back - first,
    )


def seeds_of(name: str, scale: Scale) -> tuple[int, ...]:
    """Return a style's seeds; the first one for a quick look."""
    return SEEDS[name][:1] if scale.quick else SEEDS[name]


def all_judged(scale: Scale) -> list[tuple[str, int, Judged]]:
    """Return the six rosters."""
    size = scale.of(SIZE, 30)
    return [(name, seed, judged(name, seed, size)) for name in SEEDS for seed in seeds_of(name, scale)]


def some_of(answer: Answer, rows: np.ndarray) -> Answer:
    """Return what `tests.simulate.scoring.score` reads, for the given swimmers only."""
    return replace(
        answer,
        p=answer.p[rows],
        rate=answer.rate[rows],
        onset=answer.onset[rows],
        stretches=tuple(answer.stretches[i] for i in rows),
    )
