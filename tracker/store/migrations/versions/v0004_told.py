"""The words that were told: what a page, a summary or a look marked as seen said of a swimmer."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Make their table; it begins empty, for what was told before is not known."""
    op.create_table(
        "told",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("seal", sa.Integer(), nullable=False),
        sa.Column("date", sa.Date(), nullable=False),
        sa.Column("swimmer", sa.String(), nullable=False),
        sa.Column("verdict", sa.String(), nullable=False),
        sa.Column("p", sa.Float(), nullable=True),
        sa.Column("since", sa.Date(), nullable=True),
        sa.Column("link", sa.String(), nullable=False),
        sa.Column("where", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.CheckConstraint('"p" >= 0 AND "p" <= 1', name="told_p"),
        sa.CheckConstraint("\"where\" IN ('page', 'summary', 'seen')", name="told_where"),
        sa.ForeignKeyConstraint(["swimmer"], ["swimmer.swimmer"], onupdate="CASCADE"),
        sa.PrimaryKeyConstraint("id"),
        sqlite_autoincrement=True,
        sqlite_strict=True,
    )
    op.create_index("told_order", "told", ["swimmer", "date"], unique=False)
