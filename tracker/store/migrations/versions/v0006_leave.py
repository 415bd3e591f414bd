"""A swimmer left alone until a date is a choice."""

from __future__ import annotations

from tracker.store.migrations.batch import altered

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    """Add a word to the kinds of a choice."""
    with altered("choice") as choice:
        choice.drop_constraint("choice_kind", type_="check")
        choice.create_check_constraint("choice_kind", "\"kind\" IN ('choose', 'stagger', 'seen', 'leave')")
