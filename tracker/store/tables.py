"""The tables: each inherits its record and adds keys, the row's version and its checksum (`seal`).

SQL has no closed vocabularies: where a record has one, the table says ``str`` and a CHECK constraint,
derived from the record like all others, says which words are allowed.
"""
# mypy: disable-error-code="assignment"

from __future__ import annotations

from enum import StrEnum
from typing import Any

from pydantic.fields import FieldInfo
from sqlalchemy import CheckConstraint, Date, Float, ForeignKey, Index, LargeBinary, MetaData, String, Table
from sqlalchemy.ext.compiler import compiles
from sqlmodel import Field, SQLModel

from tracker.model.about import form_of, words_of
from tracker.model.base import Record
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swim_test import SwimTest
from tracker.model.swimmer import Choice, Consent, Swimmer
from tracker.model.told import Told
from tracker.model.work import Work

_STRICT = {"sqlite_autoincrement": True, "sqlite_strict": True}
KEYS = ("id", "version", "seal")


# STRICT tables know six types only.
@compiles(String, "sqlite")
@compiles(Date, "sqlite")
def _text(_type: Any, _compiler: Any, **_kw: Any) -> str:  # noqa: ANN401 - SQLAlchemy's hook
    return "TEXT"


@compiles(Float, "sqlite")
def _real(_type: Any, _compiler: Any, **_kw: Any) -> str:  # noqa: ANN401 - SQLAlchemy's hook
    return "REAL"


def _swimmer_key() -> Any:  # noqa: ANN401 - Field() is typed so
    """Return the column that names a record's swimmer."""
    return Field(sa_column_args=[ForeignKey("swimmer.swimmer", onupdate="CASCADE")])


class Row(SQLModel):
    """What every row has beside its record: `seal` is a checksum of the other columns."""

    model_config = {"frozen": False, "extra": "ignore"}
    __table_args__ = _STRICT

    id: int | None = Field(default=None, primary_key=True)
    version: int = 1
    seal: int = 0


class SwimmerRow(Swimmer, Row, table=True):
    """`uid` tells the person from a later one of the same label; a tombstone keeps only that."""

    __tablename__ = "swimmer"
    swimmer: str = Field(unique=True)
    sex: str
    uid: str = ""


class ConsentRow(Consent, Row, table=True):
    """A consent."""

    __tablename__ = "consent"
    swimmer: str = _swimmer_key()
    purpose: str
    given_by: str


class ChoiceRow(Choice, Row, table=True):
    """A choice."""

    __tablename__ = "choice"
    swimmer: str = _swimmer_key()
    kind: str
    side: str


class SwimTestRow(SwimTest, Row, table=True):
    """An own test definition."""

    __tablename__ = "swim_test"
    test: str = Field(unique=True)
    stroke: str
    kind: str
    start: str


class SwimRow(Swim, Row, table=True):
    """A swim."""

    __tablename__ = "swim"
    swimmer: str = _swimmer_key()
    suit: str
    start: str
    taper: str
    decision: str


class ReviewItemRow(ReviewItem, Row, table=True):
    """An item of a review."""

    __tablename__ = "review_item"
    swimmer: str = _swimmer_key()
    kind: str
    side: str


class FaultStepRow(FaultStep, Row, table=True):
    """A step in a fault's timeline."""

    __tablename__ = "fault_step"
    swimmer: str = _swimmer_key()
    side: str
    step: str


class OwnFaultRow(OwnFault, Row, table=True):
    """A coach's own fault."""

    __tablename__ = "own_fault"
    fault: str = Field(unique=True)
    answers: str


class WorkRow(Work, Row, table=True):
    """A cue or drill."""

    __tablename__ = "work"
    swimmer: str = _swimmer_key()
    kind: str


class EventRow(Event, Row, table=True):
    """An event."""

    __tablename__ = "event"
    swimmer: str = _swimmer_key()
    kind: str
    body_part: str


class LoadRow(Load, Row, table=True):
    """A week's volume."""

    __tablename__ = "load"
    swimmer: str = _swimmer_key()


class ToldRow(Told, Row, table=True):
    """A word that was told."""

    __tablename__ = "told"
    swimmer: str = _swimmer_key()
    where: str


class EntryRow(Row, table=True):
    """One entry of the history.

    `state`: done, undone, dropped (can't be redone), or final (can't be undone).
    """

    __tablename__ = "history_entry"
    at: str
    who: str
    what: str
    state: str = "done"
    undone_at: str = ""
    undone_by: str = ""


class EntrySwimmerRow(Row, table=True):
    """A swimmer that an entry of the history concerns."""

    __tablename__ = "history_swimmer"
    entry: int = Field(foreign_key="history_entry.id", index=True)
    swimmer: str = Field(index=True)


class StepRow(Row, table=True):
    """One step of an entry: rows added, changed or removed in one table.

    `content` is compressed JSON: nothing while an addition stands (the rows themselves say
    what was added), the rows while they are away, before and after for a change.
    """

    __tablename__ = "history_step"
    entry: int = Field(foreign_key="history_entry.id", index=True)
    kind: str
    place: str
    first: int
    last: int
    content: bytes | None = Field(default=None, sa_type=LargeBinary)


class TombstoneRow(Row, table=True):
    """An erased swimmer: the `uid` of the row that was, and the day; no name."""

    __tablename__ = "tombstone"
    uid: str = Field(unique=True)
    date: str


class CopyRow(Row, table=True):
    """A backup or export that was made: where it went, what it is ("backup", "export"), when."""

    __tablename__ = "copy_made"
    place: str
    kind: str
    at: str


class StateRow(Row, table=True):
    """Facts about the database itself."""

    __tablename__ = "state"
    name: str = Field(unique=True)
    value: str


def table_of(model: type[SQLModel]) -> Table:
    """Return the SQLAlchemy table of a table class."""
    return SQLModel.metadata.tables[str(model.__tablename__)]


_ROWS: tuple[tuple[type[Record], type[Row]], ...] = (
    (Swimmer, SwimmerRow),
    (SwimTest, SwimTestRow),
    (OwnFault, OwnFaultRow),
    (Consent, ConsentRow),
    (Choice, ChoiceRow),
    (Swim, SwimRow),
    (ReviewItem, ReviewItemRow),
    (FaultStep, FaultStepRow),
    (Work, WorkRow),
    (Event, EventRow),
    (Load, LoadRow),
    (Told, ToldRow),
)


def _quoted(words: tuple[str, ...]) -> str:
    return ", ".join("'" + word.replace("'", "''") + "'" for word in words)


def _rule(record: type[Record], name: str, field: FieldInfo) -> str | None:
    """Return what the record demands of a column, in SQL; None if SQL's type says it all."""
    annotation: Any = field.annotation
    column = f'"{name}"'
    if words := words_of(annotation):
        return f"{column} IN ({_quoted(words)})"
    bounds = [
        f"{column} {sign} {getattr(mark, key)}"
        for mark in field.metadata
        for key, sign in (("gt", ">"), ("ge", ">="), ("lt", "<"), ("le", "<="))
        if getattr(mark, key, None) is not None
    ]
    if form_of(record, name) == "time":
        bounds = [f"{column} > 0", f"{column} < 360000"]
    return " AND ".join(bounds) or None


def _constrain(record: type[Record], table: Table) -> None:
    for name, field in record.model_fields.items():
        rule = _rule(record, name, field)
        if rule:
            table.append_constraint(CheckConstraint(rule, name=f"{table.name}_{name}"))


for _record, _row in _ROWS:
    _constrain(_record, table_of(_row))

# A swimmer's rows in order; also a second copy of both columns, which `check` compares.
for _name in ("consent", "choice", "swim", "review_item", "fault_step", "told"):
    _table = SQLModel.metadata.tables[_name]
    Index(f"{_name}_order", _table.c.swimmer, _table.c.date)
for _name in ("work", "event"):
    _table = SQLModel.metadata.tables[_name]
    Index(f"{_name}_order", _table.c.swimmer, _table.c.from_date)
Index("load_order", table_of(LoadRow).c.swimmer, table_of(LoadRow).c.week)

METADATA: MetaData = SQLModel.metadata
TABLES: dict[type[Record], Table] = {record: table_of(row) for record, row in _ROWS}
"""The table of each kind of record, parents first."""
FIELDS: dict[type[Record], tuple[str, ...]] = {record: tuple(record.model_fields) for record in TABLES}
"""The record's own columns."""
ENUMS: dict[type[Record], dict[str, type[StrEnum]]] = {
    record: {
        name: kind
        for name, field in record.model_fields.items()
        if isinstance(kind := field.annotation, type) and issubclass(kind, StrEnum)
    }
    for record in TABLES
}
"""The fields whose values are words of an enum; their columns hold plain text."""
BLANKS: dict[str, dict[str, Any]] = {
    table.name: {name: field.get_default() for name, field in record.model_fields.items()}
    for record, table in TABLES.items()
}
"""Table -> field -> its default, also for rows older than the field."""
DATE_OF: dict[type[Record], str] = {
    record: next(name for name in ("date", "from_date", "week", "swimmer", "test", "fault") if name in fields)
    for record, fields in FIELDS.items()
}
"""The column by which the rows of a kind are ordered."""
