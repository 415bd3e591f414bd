"""Whether a swim was tapered; a swimmer's sex, for growth by age."""

from __future__ import annotations

import sqlalchemy as sa

from tracker.store.migrations.batch import altered

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add a word to a swim and one to a swimmer; both may be empty."""
    with altered("swim") as swim:
        swim.add_column(sa.Column("taper", sa.String(), nullable=False, server_default=""))
        swim.create_check_constraint("swim_taper", "\"taper\" IN ('', 'yes')")
    with altered("swim") as swim:
        swim.alter_column("taper", server_default=None)
    with altered("swimmer") as swimmer:
        swimmer.add_column(sa.Column("sex", sa.String(), nullable=False, server_default=""))
        swimmer.create_check_constraint("swimmer_sex", "\"sex\" IN ('', 'f', 'm')")
    with altered("swimmer") as swimmer:
        swimmer.alter_column("sex", server_default=None)
