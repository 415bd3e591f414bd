"""Which numbers of the ledger of sources a swimmer's verdict and faults rest on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import assert_never

import numpy as np

from tracker.engine.series.conditions import FULL_EFFORT, Condition, breaks
from tracker.model.catalogue import Fault
from tracker.model.sources import Constant, Source, constants, named
from tracker.model.swim import Swim
from tracker.technique.attention import RosterLine

_ALWAYS = (
    "settings:Settings.band",
    "engine.trend.priors:Priors.slope_mean",
    "engine.trend.priors:Priors.noise",
)
_GROWTH = ("engine.verdict.age:GROWTH",)
_DECLINE = ("HOUR_SWIM", "WOMEN_LESS", "SPREAD_OF_LOSS")


def constants_used(line: RosterLine, swims: Sequence[Swim]) -> tuple[Constant, ...]:
    """Return the numbers of the code that the verdict rests on beside the swimmer's own tests.

    Parameters
    ----------
    swims
        Those that count.
    """
    if line.verdict is None:
        return ()
    places = [*_ALWAYS, *_offsets(swims), *(_condition(one) for one in Condition if _varied(one, swims))]
    if line.age is not None:
        places += _GROWTH if line.age.growing else [f"engine.verdict.age:{name}" for name in _DECLINE]
    ledger = constants()
    return tuple(ledger[place] for place in places)


def sources_used(
    found: Iterable[Constant], faults: Iterable[str], catalogue: Mapping[str, Fault]
) -> tuple[Source, ...]:
    """Return the sources of these numbers and of what the catalogue says of these faults, each once."""
    ids = [one for constant in found for one in constant.sources]
    ids += [one for slug in faults if slug in catalogue for one in catalogue[slug].sources]
    return named(ids)


def _offsets(swims: Sequence[Swim]) -> list[str]:
    names: list[str] = []
    courses = {swim.course for swim in swims}
    if len(courses) > 1:
        names += ["COURSES", "OPEN_WATER_SD" if "OW" in courses else "POOL_SD"]
    if len({swim.suit for swim in swims}) > 1:
        names += ["WETSUIT", "WETSUIT_SD"]
    if len({swim.distance_m for swim in swims}) > 1:
        names += ["PER_E_FOLD", "DISTANCE_SD"]
    return [f"engine.series.protocols:{name}" for name in names]


def _condition(condition: Condition) -> str:
    return f"engine.series.conditions:Condition.{condition.name}"


def _varied(condition: Condition, swims: Sequence[Swim]) -> bool:
    """Return whether a condition is on record for some of the swims and not for all."""
    match condition:
        case Condition.HOUR:
            return len({swim.at for swim in swims if swim.at}) > 1
        case Condition.EFFORT:
            return any(swim.effort is not None and swim.effort < FULL_EFFORT for swim in swims)
        case Condition.TAPER:
            return any(swim.taper for swim in swims)
        case Condition.BREAK:
            return bool(breaks(np.array([swim.date.toordinal() for swim in swims], np.int64)))
        case Condition.WARM_UP:
            return any(swim.warmup_min is not None for swim in swims)
        case Condition.REST:
            return any(swim.rest_s is not None for swim in swims)
        case other:
            assert_never(other)
