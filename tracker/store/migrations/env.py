"""Alembic's environment: the migration runs inside the transaction that `upgrade` opened."""

from __future__ import annotations

from alembic import context

from tracker.store.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    transactional_ddl=True,
)
context.run_migrations()
