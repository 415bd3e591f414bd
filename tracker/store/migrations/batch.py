"""Table changes for migrations."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from alembic import op
from alembic.operations import BatchOperations


@contextmanager
def altered(table: str) -> Iterator[BatchOperations]:
    """Give Alembic's batch operations on one of our tables; a file's table is rebuilt with all its rules.

    Alembic reads the rules back from the table, all but one: AUTOINCREMENT, without which the
    numbers of rows that undo keeps would be given out again.
    """
    with op.batch_alter_table(table, table_kwargs={"sqlite_autoincrement": True}) as batch:
        yield batch
