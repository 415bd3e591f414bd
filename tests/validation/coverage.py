"""Whether 90 % intervals of rate and onset hold the truth nine times in ten, by number of tests."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import numpy as np

from tests.simulate.scoring import WEEKS
from tests.simulate.seasons import STILL
from tests.validation.door import FIRST_DAY
from tests.validation.part import Part, Scale
from tests.validation.populations import SIZE, Judged, all_judged
from tests.validation.table import Table
from tests.validation.tally import Floats, median_error, plus_minus, share, shown
from tracker.engine.series.rows import day_number
from tracker.engine.verdict.judge import judge_case
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import DEFAULT

COUNTS = (0, 16, 31, 61, np.inf)


@dataclass(frozen=True)
class Spans:
    """Onsets told of W swimmers against the true ones, months; `low` is -inf where it is open."""

    true: Floats
    estimate: Floats
    low: Floats
    high: Floats
    tests: np.ndarray

    def row(self, *, weeks: float = 0.0) -> np.ndarray:
        """Return which are covered, allowing so many weeks on either side."""
        slack = weeks / WEEKS
        return (self.true >= self.low - slack) & (self.true <= self.high + slack)


def joined(parts: list[Spans]) -> Spans:
    """Put spans of several rosters together."""
    return Spans(*(np.concatenate([getattr(p, n) for p in parts]) for n in Spans.__dataclass_fields__))


def run(scale: Scale) -> Part:
    """Count covers on the six rosters."""
    rosters = all_judged(scale)
    rate_rows = []
    for name in ("quick", "slow", "joint"):
        own = [r for n, _, r in rosters if n == name]
        tests = np.array([s.t.size for r in own for s in r.swimmers])
        held = np.concatenate([_rate_held(r) for r in own])
        place = np.digitize(tests, COUNTS) - 1
        rate_rows.append(
            (name, *(shown(share(held[place == k])) + f" ({(place == k).sum()})" for k in range(4)),
             shown(share(held)) + f" ({held.size})")
        )  # fmt: skip
    heads = ("8-15 tests", "16-30", "31-60", "61 or more", "all")
    size = scale.of(SIZE, 30)
    rate = Table(
        "coverage_rate", "90 % interval of the present rate: how often it holds the true rate",
        f"Two held-out rosters of {size} each, priors learned, at the last test; swimmers in brackets.",
        ("population", *heads), tuple(rate_rows),
    )  # fmt: skip
    onset = Table(
        "coverage_onset",
        "90 % interval of the onset of the present stretch",
        "The same rosters; swimmers of a class whom the verdict calls it and whose "
        "present spell "
        "began inside the record. Engine: posterior of the last change given the class. Verdict: "
        "`since` with "
        "`since_low` and `since_high` as a user reads them (for a plateau, the start of the flat "
        "stretch that "
        "lasts to the last test). Covered +2: two weeks allowed on either side. Error and its "
        "median in weeks; "
        "early is negative.",
        ("population", "called", "dated by", "swimmers", "covered", "covered +2", "8-30 tests", "31 or more",
         "median error", "median bias", "median width"),
        tuple(row for name in ("quick", "slow", "joint")
              for row in _onset_rows(name, [r for n, _, r in rosters if n == name])),
    )  # fmt: skip
    return Part((rate, onset))


def _rate_held(roster: Judged) -> np.ndarray:
    now, rate = np.array([s.now for s in roster.swimmers]), roster.case.answer.rate
    return (now >= rate[:, 0]) & (now <= rate[:, 2])


def _onset_rows(name: str, rosters: list[Judged]) -> list[tuple[str, ...]]:
    rows = []
    for word in ("plateau", "gaining"):
        by: dict[str, list[Spans]] = {"engine": [], "verdict": []}
        for roster in rosters:
            for who, spans in spans_of(roster, word).items():
                by[who].append(spans)
        rows += [_row(name, word, who, joined(parts)) for who, parts in by.items()]
    return rows


def spans_of(roster: Judged, word: str) -> dict[str, Spans]:
    """Return the onsets of those rightly called `word`, as the engine and as the verdict date them."""
    answer, swimmers = roster.case.answer, roster.swimmers
    verdicts = judge_case(roster.case, DEFAULT)
    kind = 1 if word == "plateau" else 0
    chosen = [
        i
        for i, (s, v) in enumerate(zip(swimmers, verdicts, strict=True))
        if v.verdict == word and s.onset > 0 and (abs(s.now) <= STILL if kind else s.now > STILL)
    ]
    true = np.array([swimmers[i].onset for i in chosen])
    tests = np.array([swimmers[i].t.size for i in chosen], int)
    engine = answer.onset[chosen, kind]
    open_ = answer.before_record[chosen, kind] > 0.05
    dates = [(verdicts[i].since, verdicts[i].since_low, verdicts[i].since_high) for i in chosen]
    estimate = np.array([[_months(day) for day in row] for row in dates], float).reshape(-1, 3)
    return {
        "engine": Spans(true, engine[:, 1], np.where(open_, -np.inf, engine[:, 0]), engine[:, 2], tests),
        "verdict": Spans(true, estimate[:, 0], estimate[:, 1], estimate[:, 2], tests),
    }  # fmt: skip


def _months(day: dt.date | None) -> float:
    """Return months since the first test; -inf for a low end that is open."""
    return (day_number(day) - FIRST_DAY) / DAYS_PER_MONTH if day is not None else -np.inf


def _row(name: str, word: str, who: str, spans: Spans) -> tuple[str, ...]:
    held = spans.row()
    miss = (spans.estimate - spans.true) * WEEKS
    width = (spans.high - np.maximum(spans.low, 0.0)) * WEEKS
    few = spans.tests <= 30
    if not held.size:
        return (name, word, who, "0", *["–"] * 7)
    return (
        name, word, who, str(held.size), shown(share(held)), shown(share(spans.row(weeks=2))),
        shown(share(held[few])), shown(share(held[~few])),
        plus_minus(float(np.median(np.abs(miss))), median_error(np.abs(miss)), 1),
        plus_minus(float(np.median(miss)), median_error(miss), 1),
        plus_minus(float(np.median(width)), median_error(width), 1),
    )  # fmt: skip
