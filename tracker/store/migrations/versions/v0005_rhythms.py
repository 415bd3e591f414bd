"""How often a swimmer is tested and looked at."""

from __future__ import annotations

import sqlalchemy as sa

from tracker.store.migrations.batch import altered

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Add two numbers of days to a swimmer; both may be empty."""
    with altered("swimmer") as swimmer:
        for name in ("test_every", "look_every"):
            swimmer.add_column(sa.Column(name, sa.Integer(), nullable=True))
            swimmer.create_check_constraint(f"swimmer_{name}", f'"{name}" >= 1 AND "{name}" <= 366')
