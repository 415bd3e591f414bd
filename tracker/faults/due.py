"""When the next test and the next look are due."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracker.faults.cautions import health_on
from tracker.faults.life import lives
from tracker.settings import Settings
from tracker.verdict.verdict import Verdict

if TYPE_CHECKING:
    from tracker.records.event import Event
    from tracker.records.fault import FaultStep


@dataclass(frozen=True)
class Due:
    """Day of the next test (None before the first) and of the next look (None if there is no need).

    Attributes
    ----------
    held
        Whether no test may be called for at all, whenever the last was; then `test` is None.
    """

    test: dt.date | None
    review: dt.date | None
    held: bool = False

    def test_due(self, as_of: dt.date) -> bool:
        """Return whether a test is due on `as_of`; whoever never tested is due for one."""
        return not self.held and (self.test is None or self.test <= as_of)

    def look_due(self, as_of: dt.date) -> bool:
        """Return whether a look at technique is due on `as_of`."""
        return self.review is not None and self.review <= as_of


def due(  # noqa: PLR0913 - all that moves either day
    last_test: dt.date | None,
    verdict: Verdict | None,
    steps: Iterable[FaultStep],
    looks: Iterable[dt.date],
    events: Iterable[Event],
    *,
    as_of: dt.date,
    settings: Settings,
) -> Due:
    """Return what is due when; a day in the past is overdue.

    The next test is due `settings.test_every_days` after the last; none is while an injury or illness
    holds tests back (`cautions.health_on`), which is looked at only where health events are on. A look is due
    `settings.review_every_days` after the last one while there is a plateau (counted from its onset
    if nobody looked since) or a fault in work (counted from the day work began).

    Parameters
    ----------
    looks
        Days of reviews; a step with a reviewer is a look too.
    """
    known = list(steps)
    held = not health_on(events, as_of, switched_on=settings.health).may_test
    test = last_test + dt.timedelta(days=settings.test_every_days) if last_test and not held else None
    looked = [day for day in looks if day <= as_of]
    looked += [step.date for step in known if step.reviewer and step.date <= as_of]
    last_look = max(looked, default=None)
    since = [
        began
        for life in lives(known, as_of)
        if life.moments[-1].state == "in work" and (began := life.began(as_of))
    ]
    if verdict is not None and verdict.verdict == "plateau":
        since.append(verdict.since)
    if not since:
        return Due(test, None, held)
    from_day = min(max(day, last_look) if last_look else day for day in since)
    return Due(test, from_day + dt.timedelta(days=settings.review_every_days), held)
