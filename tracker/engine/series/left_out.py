"""A swim that does not enter the series, and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from tracker.model.units import LEAST_EFFORT
from tracker.model.vocabularies import Decision

if TYPE_CHECKING:
    from tracker.model.doubts import Doubt
    from tracker.model.swim import Swim


class LeftOutReason(StrEnum):
    """Why a swim does not enter the series."""

    ASIDE = "set aside by a person"
    KIT = "with kit"
    EASY = "effort below 8, so not a test"
    IMPLAUSIBLE = "implausible, nobody decided"


@dataclass(frozen=True)
class LeftOut:
    """A swim that does not enter the series."""

    swimmer: str
    date: dt.date
    reason: LeftOutReason


def left_out_reason(swim: Swim, doubts: Iterable[Doubt]) -> LeftOutReason | None:
    """Return why a swim with these doubts does not enter the series; None if it does.

    `from_swims` says the same of whole columns at a time.
    """
    from tracker.model.plausibility import counts

    if swim.decision == Decision.ASIDE:
        return LeftOutReason.ASIDE
    if swim.kit:
        return LeftOutReason.KIT
    if swim.effort is not None and swim.effort < LEAST_EFFORT:
        return LeftOutReason.EASY
    return None if counts(swim, doubts) else LeftOutReason.IMPLAUSIBLE
