"""Two reviewers who say different things of one fault on one day.

What counts does not rest on who typed first. The more careful look counts: one with a clip or a measure
before one with neither. Between looks that are alike, the one that says uncorrected counts: to miss a fault
costs more than to look again. On another day the later look counts, as always.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracker.model.vocabularies import ItemKind, Step

if TYPE_CHECKING:
    from tracker.model.fault import FaultStep
    from tracker.model.review import ReviewItem


@dataclass(frozen=True)
class Dispute:
    """One day on which reviewers disagree about a fault.

    Attributes
    ----------
    corrected_by, seen_by
        Who saw it corrected, and who still saw it.
    corrected
        Whether it counts as corrected.
    by_care
        Whether it does so because only that look has a clip or a measure.
    stands
        Whether nothing was written down of the fault on a later day.
    """

    fault: str
    side: str
    day: dt.date
    corrected_by: tuple[str, ...]
    seen_by: tuple[str, ...]
    corrected: bool
    by_care: bool
    stands: bool = True


@dataclass(frozen=True)
class SettledDay:
    """The steps of one day that count, in the order in which they do; and what was disputed."""

    steps: Sequence[FaultStep]
    dispute: Dispute | None = None


def several_looked(steps: Iterable[FaultStep]) -> bool:
    """Return whether more than one reviewer said something of one fault on one day."""
    seen: dict[tuple[str, str, str, dt.date], str] = {}
    return any(
        seen.setdefault((one.swimmer, one.fault, one.side, one.date), one.reviewer) != one.reviewer
        for one in steps
        if _says(one)
    )


def settle_day(steps: Sequence[FaultStep], looks: Iterable[ReviewItem]) -> SettledDay:
    """Return what counts of the steps of one fault, side and day, in the order typed where one looked.

    Parameters
    ----------
    looks
        The items of the swimmer's reviews, of any day.
    """
    says = {step.reviewer: step for step in steps if _says(step)}  # the last that each said
    if len(says) < 2:
        return SettledDay(steps)
    day = steps[0].date
    careful = _careful(looks, day)
    closed = sorted(who for who, step in says.items() if step.step is Step.CORRECTED)
    seen = sorted(says.keys() - set(closed))
    by_care = bool(careful.intersection(closed)) != bool(careful.intersection(seen))
    corrected = not seen or (by_care and bool(careful.intersection(closed)))
    counting = closed if corrected else seen
    dispute = None
    if closed and seen:
        first = steps[0]
        dispute = Dispute(first.fault, first.side, day, tuple(closed), tuple(seen), corrected, by_care)
    return SettledDay(_in_order(steps, says, counting, careful, corrected=corrected), dispute)


def _says(step: FaultStep) -> bool:
    """Return whether a reviewer says by it whether the fault is there."""
    return bool(step.reviewer) and (step.step.sighting or step.step is Step.CORRECTED)


def _careful(looks: Iterable[ReviewItem], day: dt.date) -> set[str]:
    return {
        item.reviewer for item in looks if item.date == day and (item.clip or item.kind == ItemKind.MEASURE)
    }


def _in_order(
    steps: Sequence[FaultStep],
    says: Mapping[str, FaultStep],
    counting: Collection[str],
    careful: Collection[str],
    *,
    corrected: bool,
) -> list[FaultStep]:
    """Return hearsay, then the looks that count and what was decided, the looks last if they say corrected.

    Of looks that agree the last one is the most careful, then the most severe. A sighting of such a day is
    "seen": whether it opened the fault or brought it back rested on what was typed before it.
    """
    heard = [one for one in steps if not one.reviewer and not _decides(one)]
    decided = [one for one in steps if _decides(one)]
    looked = sorted(
        (one for one in steps if _says(one) and one.reviewer in counting),
        key=lambda one: (one.reviewer in careful, says[one.reviewer].severity or 0, one.reviewer),
    )
    seen = [one.model_copy(update={"step": Step.SEEN}) if one.step.sighting else one for one in looked]
    return [*heard, *decided, *seen] if corrected else [*heard, *seen, *decided]


def _decides(step: FaultStep) -> bool:
    return step.step in {Step.WORK, Step.PARKED}
