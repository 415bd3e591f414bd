"""Which logged swims count, and the reason where one does not. Decided here alone.

Whatever is worked out from swims (typical error, critical swim speed, stroke rates) takes `counted_swims`.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from tracker.engine.series.left_out import LeftOutReason, left_out_reason
from tracker.engine.verdict.verdict import SetAside, Verdict
from tracker.model.doubts import Doubt
from tracker.model.plausibility import doubts
from tracker.model.swim import Swim
from tracker.settings import Settings

_SAME = 1e-9
"""Relative difference of two paces that are one: a set-aside pace went through a logarithm and back."""


@dataclass(frozen=True)
class SwimStatus:
    """A swim, what is doubtful about it, and whether it counts.

    Attributes
    ----------
    left_out
        Why it does not enter the series; None if it does.
    set_aside
        The test as the line set it aside; None if it did not. Each swim of a set of repeats has it.
    """

    swim: Swim
    doubts: tuple[Doubt, ...]
    left_out: LeftOutReason | None
    set_aside: SetAside | None

    @property
    def counts(self) -> bool:
        """Whether the verdict and all else worked out from the swims go by it."""
        return self.left_out is None and self.set_aside is None


def swim_statuses(swims: Iterable[Swim], verdict: Verdict | None, settings: Settings) -> list[SwimStatus]:
    """Return the status of each of one swimmer's swims, in the order given.

    Parameters
    ----------
    verdict
        The swimmer's, as of the last of the swims; None without one.
    """
    own = list(swims)
    days: dict[dt.date, list[Swim]] = {}
    for swim in own:
        days.setdefault(swim.date, []).append(swim)
    found = [doubts(swim, days[swim.date], settings) for swim in own]
    whys = [left_out_reason(swim, doubtful) for swim, doubtful in zip(own, found, strict=True)]
    sets: dict[str, list[float]] = {}
    for swim, why in zip(own, whys, strict=True):
        if why is None and _repeated(swim):
            sets.setdefault(swim.set_id, []).append(swim.pace)
    aside = () if verdict is None else verdict.set_aside
    return [
        SwimStatus(swim, doubtful, why, None if why else _aside(swim, sets.get(swim.set_id, ()), aside))
        for swim, doubtful, why in zip(own, found, whys, strict=True)
    ]


def counted_swims(swims: Iterable[Swim], verdict: Verdict | None, settings: Settings) -> list[Swim]:
    """Return the swims that count, in the order given."""
    return [one.swim for one in swim_statuses(swims, verdict, settings) if one.counts]


def stroke_swims(swims: Iterable[Swim], verdict: Verdict | None, settings: Settings) -> list[Swim]:
    """Return the swims whose strokes may be read: those that count, and those too easy for a test."""
    return [
        one.swim
        for one in swim_statuses(swims, verdict, settings)
        if one.counts or one.left_out == LeftOutReason.EASY
    ]


def _repeated(swim: Swim) -> bool:
    return swim.test == "reps" and swim.set_id != ""


def _aside(swim: Swim, of_set: Sequence[float], aside: Sequence[SetAside]) -> SetAside | None:
    """Return the test that was set aside, if the swim is it: by day and pace, of a set by its mean."""
    pace = sum(of_set) / len(of_set) if _repeated(swim) and of_set else swim.pace
    day = swim.date
    return next((x for x in aside if x.date == day and math.isclose(x.pace, pace, rel_tol=_SAME)), None)
