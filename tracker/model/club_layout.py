"""The club as a folder of files: which record stands in which file, under which column names.

Cells: dates are ISO 8601, times and paces m:ss.tt, numbers plain decimals, nothing is empty.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from tracker.model.about import CellForm, fields_of
from tracker.model.base import Record
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swim_test import SwimTest
from tracker.model.swimmer import Choice, Consent, Swimmer
from tracker.model.told import Told
from tracker.model.units import format_time
from tracker.model.work import Work

SCHEMA = 1
"""Version of this layout."""
MARK = "club.json"
"""The file that says that we wrote the folder."""
WRITER = "slackwater"


@dataclass(frozen=True)
class ClubFile:
    """One file of the folder.

    Attributes
    ----------
    stem
        Its name without ending.
    kind
        The record that stands in it, one a row.
    columns
        Column name -> field, in order.
    needed
        Columns by which a file of any name is known to be this one.
    """

    stem: str
    kind: type[Record]
    columns: dict[str, str]
    needed: frozenset[str]


def _file(stem: str, kind: type[Record], needed: str) -> ClubFile:
    columns = {field.column: name for name, field in fields_of(kind).items()}
    return ClubFile(stem, kind, columns, frozenset(needed.split()))


FILES: tuple[ClubFile, ...] = (
    _file("swimmers", Swimmer, "swimmer"),
    _file("tests", SwimTest, "test"),
    _file("own_faults", OwnFault, "fault name"),
    _file("consents", Consent, "date swimmer purpose"),
    _file("choices", Choice, "date swimmer kind"),
    _file("swims", Swim, "date swimmer time"),
    _file("reviews", ReviewItem, "date swimmer reviewer kind"),
    _file("faults", FaultStep, "date swimmer fault step"),
    _file("work", Work, "from swimmer kind text"),
    _file("events", Event, "from swimmer kind"),
    _file("load", Load, "week swimmer"),
    _file("told", Told, "date swimmer verdict where"),
)
"""All files, in the order in which they are read: a swimmer before what names them."""
SWIMS = next(file for file in FILES if file.kind is Swim)


def cell_of(value: object, form: CellForm) -> str:
    """Return a value as it stands in a cell, before any guard."""
    if value is None:
        return ""
    if form == "time" and isinstance(value, float):
        return format_time(value)
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() else format(Decimal(repr(value)), "f")
    return value.isoformat() if isinstance(value, dt.date) else str(value)
