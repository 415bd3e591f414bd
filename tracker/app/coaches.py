"""Which coach sees which groups."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.app.session import Session
from tracker.store import sharing
from tracker.store.sharing import Coach, coaches


def add_coach(
    session: Session,
    login: str,
    groups: Sequence[str] = (),
    *,
    everything: bool = False,
    password: str | None = None,
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
    with session.write(f"let coach {login} in") as writer:
        sharing.add_coach(writer.connection, login, groups, everything=everything, password=password)


def share_groups(session: Session, login: str, groups: Sequence[str]) -> None:
    """Share groups with a coach; a group may be shared with many."""
    with session.write(f"share with coach {login}") as writer:
        sharing.share(writer.connection, login, groups)


def unshare_groups(session: Session, login: str, groups: Sequence[str]) -> None:
    """Take groups away from a coach."""
    with session.write(f"take groups from coach {login}") as writer:
        sharing.unshare(writer.connection, login, groups)


def remove_coach(session: Session, login: str) -> None:
    """Let a coach see nothing any more; the server's login stays."""
    with session.write(f"let coach {login} go") as writer:
        sharing.remove_coach(writer.connection, login)


def list_coaches(session: Session) -> list[Coach]:
    """Return the coaches by login.

    Raises
    ------
    UsageError
        If the database is a file, which has no logins.
    """
    with session.store.read() as reader:
        return coaches(reader.connection)
