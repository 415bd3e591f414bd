"""The first tables."""

from __future__ import annotations

import datetime as dt

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def _make(name: str, *parts: sa.schema.SchemaItem) -> None:
    op.create_table(
        name,
        sa.Column("id", sa.Integer(), nullable=False),
        _whole("version"),
        _whole("seal"),
        *parts,
        sa.PrimaryKeyConstraint("id"),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )


def _text(name: str, *, null: bool = False) -> sa.Column[str]:
    return sa.Column(name, sa.String(), nullable=null)


def _whole(name: str, *, null: bool = False) -> sa.Column[int]:
    return sa.Column(name, sa.Integer(), nullable=null)


def _real(name: str, *, null: bool = False) -> sa.Column[float]:
    return sa.Column(name, sa.Float(), nullable=null)


def _day(name: str, *, null: bool = False) -> sa.Column[dt.date]:
    return sa.Column(name, sa.Date(), nullable=null)


def upgrade() -> None:
    """Create them."""
    _make(
        "copy_made",
        _text("place"),
        _text("kind"),
        _text("at"),
    )
    _make(
        "history_entry",
        _text("at"),
        _text("who"),
        _text("what"),
        _text("state"),
        _text("undone_at"),
        _text("undone_by"),
    )
    _make(
        "own_fault",
        _text("fault"),
        _text("name"),
        _text("area"),
        _text("view"),
        _text("measure"),
        _text("norm"),
        _text("cost"),
        _text("cues"),
        _text("drills"),
        _text("provoked_by"),
        _text("answers"),
        _text("caution"),
        sa.CheckConstraint("\"answers\" IN ('', 'quick', 'medium', 'slow')", name="own_fault_answers"),
        sa.UniqueConstraint("fault"),
    )
    _make(
        "state",
        _text("name"),
        _text("value"),
        sa.UniqueConstraint("name"),
    )
    _make(
        "swim_test",
        _text("test"),
        _text("name"),
        _text("stroke"),
        _text("kind"),
        _text("distances"),
        _real("duration_s", null=True),
        _text("start"),
        _real("rest_s", null=True),
        _text("protocol"),
        sa.CheckConstraint('"duration_s" > 0 AND "duration_s" <= 86400', name="swim_test_duration_s"),
        sa.CheckConstraint("\"kind\" IN ('distances', 'duration', 'repeats')", name="swim_test_kind"),
        sa.CheckConstraint('"rest_s" >= 0 AND "rest_s" <= 86400', name="swim_test_rest_s"),
        sa.CheckConstraint("\"start\" IN ('push', 'dive')", name="swim_test_start"),
        sa.CheckConstraint(
            "\"stroke\" IN ('free', 'back', 'breast', 'fly', 'medley')", name="swim_test_stroke"
        ),
        sa.UniqueConstraint("test"),
    )
    _make(
        "swimmer",
        _text("swimmer"),
        _text("group"),
        _whole("born", null=True),
        _real("target_pace", null=True),
        _day("target_date", null=True),
        _day("archived", null=True),
        _text("note"),
        _text("uid"),
        sa.CheckConstraint('"born" >= 1900 AND "born" <= 2100', name="swimmer_born"),
        sa.CheckConstraint('"target_pace" > 0 AND "target_pace" < 360000', name="swimmer_target_pace"),
        sa.UniqueConstraint("swimmer"),
    )
    _make(
        "tombstone",
        _text("uid"),
        _text("date"),
        sa.UniqueConstraint("uid"),
    )
    _make(
        "choice",
        _day("date"),
        _text("swimmer"),
        _text("kind"),
        _text("fault"),
        _text("side"),
        _text("value"),
        _text("reason"),
        _text("by"),
        sa.CheckConstraint("\"kind\" IN ('choose', 'stagger', 'seen')", name="choice_kind"),
        sa.CheckConstraint("\"side\" IN ('', 'left', 'right')", name="choice_side"),
        sa.ForeignKeyConstraint(["swimmer"], ["swimmer.swimmer"], onupdate="CASCADE"),
    )
    op.create_index("choice_order", "choice", ["swimmer", "date"], unique=False)
    _make(
        "consent",
        _day("date"),
        _text("swimmer"),
        _text("purpose"),
        _text("ground"),
        _text("given_by"),
        _text("how"),
        _text("text_version"),
        _day("until", null=True),
        _day("withdrawn", null=True),
        sa.CheckConstraint("\"given_by\" IN ('self', 'guardian')", name="consent_given_by"),
        sa.CheckConstraint("\"purpose\" IN ('record', 'pages', 'clips')", name="consent_purpose"),
        sa.ForeignKeyConstraint(["swimmer"], ["swimmer.swimmer"], onupdate="CASCADE"),
    )
    op.create_index("consent_order", "consent", ["swimmer", "date"], unique=False)
    _make(
        "event",
        _day("from_date"),
        _day("to_date", null=True),
        _text("swimmer"),
        _text("kind"),
        _text("note"),
        sa.CheckConstraint(
            "\"kind\" IN ('layoff', 'illness', 'injury', 'pool', 'suit', 'race', 'camp', 'other')",
            name="event_kind",
        ),
        sa.ForeignKeyConstraint(["swimmer"], ["swimmer.swimmer"], onupdate="CASCADE"),
    )
    op.create_index("event_order", "event", ["swimmer", "from_date"], unique=False)
    _make(
        "fault_step",
        _day("date"),
        _text("swimmer"),
        _text("fault"),
        _text("side"),
        _text("step"),
        _whole("severity", null=True),
        _text("reviewer"),
        _text("note"),
        sa.CheckConstraint('"severity" >= 1 AND "severity" <= 3', name="fault_step_severity"),
        sa.CheckConstraint("\"side\" IN ('', 'left', 'right')", name="fault_step_side"),
        sa.CheckConstraint(
            "\"step\" IN ('open', 'seen', 'work', 'corrected', 'parked', 'back')", name="fault_step_step"
        ),
        sa.ForeignKeyConstraint(["swimmer"], ["swimmer.swimmer"], onupdate="CASCADE"),
    )
    op.create_index("fault_step_order", "fault_step", ["swimmer", "date"], unique=False)
    _make(
        "history_step",
        _whole("entry"),
        _text("kind"),
        _text("place"),
        _whole("first"),
        _whole("last"),
        sa.Column("content", sa.LargeBinary(), nullable=True),
        sa.ForeignKeyConstraint(
            ["entry"],
            ["history_entry.id"],
        ),
    )
    op.create_index(op.f("ix_history_step_entry"), "history_step", ["entry"], unique=False)
    _make(
        "history_swimmer",
        _whole("entry"),
        _text("swimmer"),
        sa.ForeignKeyConstraint(
            ["entry"],
            ["history_entry.id"],
        ),
    )
    op.create_index(op.f("ix_history_swimmer_entry"), "history_swimmer", ["entry"], unique=False)
    op.create_index(op.f("ix_history_swimmer_swimmer"), "history_swimmer", ["swimmer"], unique=False)
    _make(
        "load",
        _day("week"),
        _text("swimmer"),
        _whole("sessions", null=True),
        _real("metres", null=True),
        sa.CheckConstraint('"metres" >= 0 AND "metres" <= 500000', name="load_metres"),
        sa.CheckConstraint('"sessions" >= 0 AND "sessions" <= 50', name="load_sessions"),
        sa.ForeignKeyConstraint(["swimmer"], ["swimmer.swimmer"], onupdate="CASCADE"),
    )
    op.create_index("load_order", "load", ["swimmer", "week"], unique=False)
    _make(
        "review_item",
        _day("date"),
        _text("swimmer"),
        _text("reviewer"),
        _text("kind"),
        _text("item"),
        _text("side"),
        _real("value", null=True),
        _text("points"),
        _text("clip"),
        _text("note"),
        sa.CheckConstraint("\"kind\" IN ('score', 'measure', 'look')", name="review_item_kind"),
        sa.CheckConstraint("\"side\" IN ('', 'left', 'right')", name="review_item_side"),
        sa.CheckConstraint('"value" >= -10000 AND "value" <= 10000', name="review_item_value"),
        sa.ForeignKeyConstraint(["swimmer"], ["swimmer.swimmer"], onupdate="CASCADE"),
    )
    op.create_index("review_item_order", "review_item", ["swimmer", "date"], unique=False)
    _make(
        "swim",
        _day("date"),
        _text("swimmer"),
        _text("test"),
        _real("distance_m"),
        _real("time_s"),
        _text("course"),
        _text("suit"),
        _text("kit"),
        _text("start"),
        _text("at"),
        _real("warmup_min", null=True),
        _real("rest_s", null=True),
        _text("strokes"),
        _real("rate_cpm", null=True),
        _whole("effort", null=True),
        _text("conditions"),
        _text("set_id"),
        _text("decision"),
        _text("note"),
        sa.CheckConstraint("\"decision\" IN ('', 'accepted', 'kept', 'aside')", name="swim_decision"),
        sa.CheckConstraint('"distance_m" > 0 AND "distance_m" <= 100000', name="swim_distance_m"),
        sa.CheckConstraint('"effort" >= 1 AND "effort" <= 10', name="swim_effort"),
        sa.CheckConstraint('"rate_cpm" > 0 AND "rate_cpm" <= 120', name="swim_rate_cpm"),
        sa.CheckConstraint('"rest_s" >= 0 AND "rest_s" <= 86400', name="swim_rest_s"),
        sa.CheckConstraint("\"start\" IN ('', 'push', 'dive')", name="swim_start"),
        sa.CheckConstraint("\"suit\" IN ('none', 'wetsuit')", name="swim_suit"),
        sa.CheckConstraint('"time_s" > 0 AND "time_s" < 360000', name="swim_time_s"),
        sa.CheckConstraint('"warmup_min" >= 0 AND "warmup_min" <= 600', name="swim_warmup_min"),
        sa.ForeignKeyConstraint(["swimmer"], ["swimmer.swimmer"], onupdate="CASCADE"),
    )
    op.create_index("swim_order", "swim", ["swimmer", "date"], unique=False)
    _make(
        "work",
        _day("from_date"),
        _day("to_date", null=True),
        _text("swimmer"),
        _text("kind"),
        _text("fault"),
        _text("text"),
        _real("per_week", null=True),
        sa.CheckConstraint("\"kind\" IN ('cue', 'drill')", name="work_kind"),
        sa.CheckConstraint('"per_week" > 0 AND "per_week" <= 50', name="work_per_week"),
        sa.ForeignKeyConstraint(["swimmer"], ["swimmer.swimmer"], onupdate="CASCADE"),
    )
    op.create_index("work_order", "work", ["swimmer", "from_date"], unique=False)
