"""Pool, hour or effort changed for good, and written down: words that the switch alone would cause."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tests.simulate.seasons import Season
from tests.simulate.stationary import LONG_COURSE
from tests.validation.dated import built_in_for
from tests.validation.door import rows_of
from tests.validation.part import Part, Scale
from tests.validation.plan import Plan, many
from tests.validation.table import Table
from tests.validation.tally import share, shown
from tracker.engine.series.conditions import CONDITIONS, Condition, no_conditions
from tracker.engine.series.rows import Rows
from tracker.engine.verdict.judge import examine, judge_case
from tracker.engine.verdict.verdict import HiddenSwitch, Verdict, Word
from tracker.model.units import DAYS_PER_MONTH
from tracker.settings import DEFAULT

SEED, SIZE = 9600, 100
WEEK = 7 / DAYS_PER_MONTH
AT, AFTER = 30 * WEEK, 12 * WEEK
"""Months to the switch, and from it to the look; `PROMPT` is the look at 5.5 weeks."""
PROMPT = 5.5 * WEEK
GAIN = 0.7
EVENING, MORNING = 18.0, 7.0


@dataclass(frozen=True)
class Switch:
    """What is switched, by how much the level moves in percent (mean, sd), and whether it is written down."""

    what: str
    effect: tuple[float, float]
    written: bool = True


SWITCHES = {
    "nothing": Switch("", (0.0, 0.0)),
    "25 m pool to 50 m": Switch("pool", (-2.0, 0.7)),
    "evenings to mornings": Switch("hour", (-2.5, 0.0)),
    "the same, nowhere written down": Switch("hour", (-2.5, 0.0), written=False),
    "mornings to evenings": Switch("hour", (2.5, 0.0)),
    "effort 9-10 to 8": Switch("effort", (-4.0, 2.0)),
    "the same effort, nowhere written down": Switch("effort", (-4.0, 2.0), written=False),
}


def switched(rng: np.random.Generator, swimmers: list[Season], switch: Switch) -> tuple[list[Season], Rows]:
    """Return the swimmers, whose tests from `AT` on are moved, and their rows with what is on record."""
    out, conditions = [], []
    for swimmer in swimmers:
        after = swimmer.t >= AT - 1e-9
        own = rng.normal(*switch.effect)
        kind = np.where(after & (switch.what == "pool") & switch.written, LONG_COURSE, 0)
        out.append(replace(swimmer, y=swimmer.y + own * after, kind=kind))
        conditions.append(_written(after, switch))
    return out, rows_of(out, np.concatenate(conditions))


def _written(after: np.ndarray, switch: Switch) -> np.ndarray:
    known = no_conditions(after.size)
    if switch.written and switch.what == "hour":
        late, early = (EVENING, MORNING) if switch.effect[0] < 0 else (MORNING, EVENING)
        known[:, CONDITIONS.index(Condition.HOUR)] = np.where(after, early, late)
    if switch.written and switch.what == "effort":
        known[:, CONDITIONS.index(Condition.EFFORT)] = after
    return known


def judged_alone(swimmers: list[Season], rows: Rows) -> list[Verdict]:
    """Return the verdicts by the built-in priors: of each swimmer what one gets who is alone."""
    case = examine(rows, built_in_for(swimmers), DEFAULT, past=False)
    return list(judge_case(case, DEFAULT))


def run(scale: Scale) -> Part:
    """Switch on the day half of the swimmers stop, and while all go on as they were."""
    size = scale.of(SIZE, 6)
    table_rows = []
    for name, switch in SWITCHES.items():
        for when, ahead in (("5.5 weeks", PROMPT), ("12 weeks", AFTER)):
            cells: list[str] = []
            for before, after in ((GAIN, GAIN), (0.0, 0.0), (GAIN, 0.0)):
                rng = np.random.default_rng((SEED, int(before * 10)))
                plan = Plan(before=before, after=after, change=AT, months=AT + ahead)
                verdicts = judged_alone(*switched(rng, many(rng, size, plan), switch))
                words = np.array([v.verdict for v in verdicts])
                flagged = [any(isinstance(r, HiddenSwitch) for r in v.reasons) for v in verdicts]
                wrong = wrong_words(before, after)
                cells += [shown(share(np.isin(words, wrong)), 3), shown(share(flagged), 2)]
            table_rows.append((name, when, *cells))
    table = Table(
        "switches",
        "A switch for good on one day: wrong words and warnings",
        f"{size} lone swimmers a cell (seed {SEED}), weekly tests, one in ten missed, noise 0.8-1.4 %; "
        f"priors built in; the switch is 30 weeks into the record. Gainers go on at {GAIN} %/month, the "
        f"flat stay flat, stoppers go from {GAIN} to 0 on the day of the switch. Wrong: for gainers "
        "plateau, slipping or slowed; for the flat gaining, slipping or slowed; for stoppers gaining or "
        "slipping, and the row without a switch says how many are only late. Flagged: the verdict says "
        "that the change cannot be told from the switch. Effects in percent: pool -2 (sd 0.7), hour 2.5 "
        "either way, effort -4 (sd 2).",
        ("switch", "looked at after", "gainers: wrong word", "flagged", "flat: wrong word", "flagged",
         "stoppers: wrong word", "flagged"),
        tuple(table_rows),
    )  # fmt: skip
    return Part((table,))


def wrong_words(before: float, after: float) -> list[Word]:
    """Return the words that are wrong of a swimmer; of one who stopped, slowed is right too."""
    if before != after:
        return [Word.GAINING, Word.SLIPPING]
    right = Word.GAINING if after else Word.PLATEAU
    return [w for w in (Word.GAINING, Word.PLATEAU, Word.SLIPPING, Word.SLOWED) if w != right]
