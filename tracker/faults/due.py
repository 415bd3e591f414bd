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
    look
        Day of the next look of whoever takes up a fault, need or not; None where nothing is on record.
    held
        Whether no test may be called for at all, whenever the last was; then `test` is None.
    """

    test: dt.date | None
    review: dt.date | None
    look: dt.date | None = None
    held: bool = False

    def test_due(self, as_of: dt.date) -> bool:
        """Return whether a test is due on `as_of`; whoever never tested is due for one."""
        return not self.held and (self.test is None or self.test <= as_of)

    def look_due(self, as_of: dt.date) -> bool:
        """Return whether a look at technique is due on `as_of`."""
        return self.review is not None and self.review <= as_of


def due(  # noqa: PLR0913 - all that moves either day
    tests: Iterable[dt.date],
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
    holds tests back (`cautions.health_on`), which is looked at only where health events are on.

    A look is due while there is a plateau or a fault in work, `settings.review_every_days` after the last
    one, or after the first day on record if nobody ever looked. It is not counted from the onset, which
    is an estimate and moves: only a look makes the next one less overdue.

    Parameters
    ----------
    tests
        Days of tests, the first and the last among them; none after `as_of`.
    looks
        Days of reviews; a step with a reviewer is a look too.
    """
    tested = list(tests)
    known = [step for step in steps if step.date <= as_of]
    held = not health_on(events, as_of, switched_on=settings.health).may_test
    test = max(tested) + dt.timedelta(days=settings.test_every_days) if tested and not held else None
    looked = [day for day in looks if day <= as_of] + [step.date for step in known if step.reviewer]
    on_record = tested + [step.date for step in known]
    counted_from = max(looked) if looked else min(on_record, default=None)
    look = counted_from + dt.timedelta(days=settings.review_every_days) if counted_from else None
    needed = (verdict is not None and verdict.verdict == "plateau") or any(
        life.moments[-1].state == "in work" for life in lives(known, as_of)
    )
    return Due(test, look if needed else None, look, held)
