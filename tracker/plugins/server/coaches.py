"""Which coach sees which groups."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, text

from tracker.app.session import Session
from tracker.errors import UsageError
from tracker.plugins.server.row_security import current_login, grant, owns_tables, role_of_coaches


@dataclass(frozen=True)
class Coach:
    """A login and what it sees: `everything`, or the swimmers of `groups`."""

    login: str
    everything: bool
    groups: tuple[str, ...]


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
        connection = writer.connection
        _owner_only(connection)
        quoted = _make_login(connection, login)
        if password is not None:
            # Only a salted verifier goes over the wire and into the server's log.
            driver = connection.connection.driver_connection
            verifier = driver.pgconn.encrypt_password(password.encode(), login.encode(), b"scram-sha-256")  # type: ignore[union-attr]
            connection.exec_driver_sql(f"ALTER ROLE {quoted} PASSWORD '{verifier.decode('ascii')}'")
        role = role_of_coaches(connection)
        if not connection.execute(text("SELECT to_regrole(:name)"), {"name": role}).scalar():
            connection.exec_driver_sql(f"CREATE ROLE {role} NOLOGIN")
            grant(connection)
        connection.exec_driver_sql(f"GRANT {role} TO {quoted}")
        connection.execute(
            text(
                "INSERT INTO coach VALUES (:login, :everything) "
                "ON CONFLICT (login) DO UPDATE SET everything = excluded.everything"
            ),
            {"login": login, "everything": everything},
        )
        _share(connection, login, groups)


def _make_login(connection: Connection, login: str) -> str:
    """Make a login if it is not there; return its name as SQL takes it."""
    if not re.fullmatch(r"[A-Za-z_][A-Za-z0-9_.-]{0,62}", login, re.ASCII):
        raise UsageError(f"{login!r} is no login: letters without accents, digits, _ . - and a letter first")
    quoted = _quoted(connection, login)
    found = connection.execute(
        text("SELECT rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = :login"), {"login": login}
    ).scalar()
    if found is None:
        connection.exec_driver_sql(f"CREATE ROLE {quoted} LOGIN NOSUPERUSER NOCREATEDB NOCREATEROLE")
    elif found:
        raise UsageError(f"{login} is a superuser or bypasses row security: no rule binds it; take another")
    return quoted


def share_groups(session: Session, login: str, groups: Sequence[str]) -> None:
    """Share groups with a coach; a group may be shared with many."""
    with session.write(f"share with coach {login}") as writer:
        _check_coach(writer.connection, login)
        _share(writer.connection, login, groups)


def _share(connection: Connection, login: str, groups: Sequence[str]) -> None:
    for group in groups:
        connection.execute(
            text("INSERT INTO coach_group VALUES (:login, :group) ON CONFLICT DO NOTHING"),
            {"login": login, "group": group},
        )


def unshare_groups(session: Session, login: str, groups: Sequence[str]) -> None:
    """Take groups away from a coach."""
    with session.write(f"take groups from coach {login}") as writer:
        _check_coach(writer.connection, login)
        for group in groups:
            writer.connection.execute(
                text('DELETE FROM coach_group WHERE login = :login AND "group" = :group'),
                {"login": login, "group": group},
            )


def remove_coach(session: Session, login: str) -> None:
    """Let a coach see nothing any more. The login stays: the server may have other uses for it.

    Raises
    ------
    UsageError
        If it is one's own.
    """
    with session.write(f"let coach {login} go") as writer:
        connection = writer.connection
        _check_coach(connection, login)
        if login == current_login(connection):
            raise UsageError("you would lock yourself out; let another login that sees everything do it")
        connection.exec_driver_sql(f"REVOKE {role_of_coaches(connection)} FROM {_quoted(connection, login)}")
        connection.execute(text("DELETE FROM coach WHERE login = :login"), {"login": login})


def list_coaches(session: Session) -> list[Coach]:
    """Return the coaches by login.

    Raises
    ------
    UsageError
        If the database is a file, which has no logins.
    """
    with session.store.read() as reader:
        return _coaches(reader.connection)


def _coaches(connection: Connection) -> list[Coach]:
    _server_only(connection)
    groups: dict[str, list[str]] = {}
    for login, group in connection.execute(text('SELECT login, "group" FROM coach_group ORDER BY 1, 2')):
        groups.setdefault(login, []).append(group)
    rows = connection.execute(text("SELECT login, everything FROM coach ORDER BY login"))
    return [Coach(login, everything, tuple(groups.get(login, ()))) for login, everything in rows]


def _check_coach(connection: Connection, login: str) -> None:
    _owner_only(connection)
    if not connection.execute(text("SELECT 1 FROM coach WHERE login = :login"), {"login": login}).scalar():
        known = ", ".join(coach.login for coach in _coaches(connection))
        raise UsageError(f"no coach has the login {login!r}; there are {known}")


def _server_only(connection: Connection) -> None:
    if connection.dialect.name == "sqlite":
        raise UsageError("a file has no logins: several coaches need a PostgreSQL server (see the README)")


def _owner_only(connection: Connection) -> None:
    """Refuse, in plainer words, a login that the server would refuse anyway."""
    _server_only(connection)
    if not owns_tables(connection):
        raise UsageError("only the login that made the tables can say who sees what")


def _quoted(connection: Connection, name: str) -> str:
    return connection.dialect.identifier_preparer.quote_identifier(name)
