"""Where an injury or illness is."""

from __future__ import annotations

import sqlalchemy as sa

from tracker.store.migrations.batch import altered

revision = "0003"
down_revision = "0002"
PARTS = "'', 'shoulder', 'elbow', 'wrist', 'neck', 'back', 'hip', 'knee', 'ankle', 'leg', 'other'"


def upgrade() -> None:
    """Add a word to an event; it may be empty."""
    with altered("event") as event:
        event.add_column(sa.Column("body_part", sa.String(), nullable=False, server_default=""))
        event.create_check_constraint("event_body_part", f'"body_part" IN ({PARTS})')
    with altered("event") as event:
        event.alter_column("body_part", server_default=None)
