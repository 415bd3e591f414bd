"""A swim that does not enter the series, and why."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

Why = Literal["set aside by a person", "with kit", "implausible, nobody decided"]


@dataclass(frozen=True)
class LeftOut:
    """A swim that does not enter the series."""

    swimmer: str
    date: dt.date
    why: Why
