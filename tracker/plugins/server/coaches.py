"""Which coach sees which groups."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from tracker.plugins.server import row_security
from tracker.plugins.server.row_security import Coach
from tracker.store.database import Store


def add_coach(  # noqa: PLR0913 - who, what they see, and who says so
    store: Store,
    login: str,
    groups: Sequence[str] = (),
    *,
    everything: bool = False,
    password: str | None = None,
    who: str,
    at: dt.datetime,
) -> None:
    """Let a login of the server in, making it if need be, and share groups with it.

    Parameters
    ----------
    everything
        Whether it sees every group, those to come too.
    password
        A new password; None leaves it as it is.

    Raises
    ------
    UsageError
        If the database is a file, the login is none that can be bound, or one may not do this.
    """
    with store.write(who=who, what=f"let coach {login} in", at=at) as writer:
        row_security.add_coach(writer.connection, login, groups, everything=everything, password=password)


def share_groups(store: Store, login: str, groups: Sequence[str], *, who: str, at: dt.datetime) -> None:
    """Share groups with a coach; a group may be shared with many."""
    with store.write(who=who, what=f"share with coach {login}", at=at) as writer:
        row_security.share(writer.connection, login, groups)


def unshare_groups(store: Store, login: str, groups: Sequence[str], *, who: str, at: dt.datetime) -> None:
    """Take groups away from a coach."""
    with store.write(who=who, what=f"take groups from coach {login}", at=at) as writer:
        row_security.unshare(writer.connection, login, groups)


def remove_coach(store: Store, login: str, *, who: str, at: dt.datetime) -> None:
    """Let a coach see nothing any more; the server's login stays."""
    with store.write(who=who, what=f"let coach {login} go", at=at) as writer:
        row_security.remove_coach(writer.connection, login)


def list_coaches(store: Store) -> list[Coach]:
    """Return the coaches by login.

    Raises
    ------
    UsageError
        If the database is a file, which has no logins.
    """
    with store.read() as reader:
        return row_security.coaches(reader.connection)
