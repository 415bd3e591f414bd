"""Who may be under age: of a swimmer's birthday only the year is on record."""

from __future__ import annotations

import datetime as dt
from typing import Final

ADULT: Final = 18
"""Under it a guardian is asked, and children's cautions apply (common practice; the law differs)."""
YOUNG: Final = 14
"""Under it a maximal test is short (common practice, no source)."""


def may_be_minor(born: int | None, day: dt.date) -> bool:
    """Return whether somebody may be under 18 on a day; not where no year is on record."""
    return _may_be_under(ADULT, born, day)


def may_be_young(born: int | None, day: dt.date) -> bool:
    """Return whether somebody may be under 14 on a day; not where no year is on record."""
    return _may_be_under(YOUNG, born, day)


def _may_be_under(age: int, born: int | None, day: dt.date) -> bool:
    return born is not None and day.year - born <= age
