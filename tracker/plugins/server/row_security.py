"""Several coaches on one server: who sees which swimmers, held by the database itself.

Every coach is a login of PostgreSQL. A coach sees the swimmers of the groups shared with them, and all
that is on record of those; a group may be shared with many. The rules are row-level security, forced on
every table with a swimmer's data, so that they bind the tables' owner too, views, COPY and SQL by hand.
They go by ``current_user``; there is nothing that the program could forget to set.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, text

from tracker.errors import UsageError
from tracker.model.swimmer import Swimmer
from tracker.store.tables import FIELDS, TABLES

_ALL = "EXISTS (SELECT 1 FROM coach c WHERE c.login = CURRENT_USER AND c.everything)"
_MY_GROUP = '"group" IN (SELECT g."group" FROM coach_group g WHERE g.login = CURRENT_USER)'
_MY_SWIMMER = "swimmer IN (SELECT s.swimmer FROM swimmer s)"  # itself under its own rule
_MY_ENTRY = "entry IN (SELECT e.id FROM history_entry e WHERE e.who = CURRENT_USER)"
_OF_MINE = "id IN (SELECT h.entry FROM history_swimmer h)"

_KINDS = [TABLES[kind].name for kind, fields in FIELDS.items() if "swimmer" in fields and kind is not Swimmer]
"""The tables of all records that name a swimmer: a new kind of record has its rule at once."""
RULES: dict[str, tuple[tuple[str, str, str], ...]] = {
    # table -> (statements, rows seen or touched, rows as they may become)
    "swimmer": (("ALL", f"{_ALL} OR {_MY_GROUP}", f"{_ALL} OR {_MY_GROUP}"),),
    **dict.fromkeys(_KINDS, (("ALL", f"{_ALL} OR {_MY_SWIMMER}", f"{_ALL} OR {_MY_SWIMMER}"),)),
    # Nobody signs for somebody else; erasing, which needs to see everything, may change what others wrote.
    "history_entry": (
        ("SELECT", f"who = CURRENT_USER OR {_ALL} OR {_OF_MINE}", ""),
        ("INSERT", "", "who = CURRENT_USER"),
        ("UPDATE", f"who = CURRENT_USER OR {_ALL}", f"who = CURRENT_USER OR {_ALL}"),
        ("DELETE", f"who = CURRENT_USER OR {_ALL}", ""),
    ),
    "history_step": (("ALL", f"{_ALL} OR {_MY_ENTRY}", f"{_ALL} OR {_MY_ENTRY}"),),
    "history_swimmer": (
        ("SELECT", f"{_ALL} OR {_MY_SWIMMER}", ""),
        ("INSERT", "", "history_signer(entry) = CURRENT_USER"),
        ("UPDATE", _ALL, _ALL),
        ("DELETE", _ALL, ""),
    ),
}
"""The rules of every table with a swimmer's data."""
_SHARED = ("swim_test", "own_fault", "state", "tombstone", "copy_made")
_OWN = """
CREATE TABLE IF NOT EXISTS coach (
    login VARCHAR COLLATE "C" PRIMARY KEY, everything BOOLEAN NOT NULL DEFAULT false);
CREATE TABLE IF NOT EXISTS coach_group (
    login VARCHAR COLLATE "C" NOT NULL REFERENCES coach ON DELETE CASCADE,
    "group" VARCHAR COLLATE "C" NOT NULL, PRIMARY KEY (login, "group"))
"""
_FUNCTIONS = """
CREATE OR REPLACE FUNCTION history_signer(entry integer) RETURNS text
    LANGUAGE sql STABLE SECURITY DEFINER SET search_path = public, pg_temp
    AS 'SELECT who FROM history_entry WHERE id = entry';
CREATE OR REPLACE FUNCTION history_relabel() RETURNS trigger
    LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp
    AS 'BEGIN UPDATE history_swimmer SET swimmer = NEW.swimmer WHERE swimmer = OLD.swimmer%s
        RETURN NULL%s END';
CREATE OR REPLACE TRIGGER history_relabel AFTER UPDATE OF swimmer ON swimmer
    FOR EACH ROW WHEN (OLD.swimmer <> NEW.swimmer) EXECUTE FUNCTION history_relabel()
"""
"""What a coach may set off and not do: find who signed an entry, and let the history follow a new label.

They act as the tables' owner, by the owner's own rights to see.
"""


@dataclass(frozen=True)
class Coach:
    """A login and what it sees: `everything`, or the swimmers of `groups`."""

    login: str
    everything: bool
    groups: tuple[str, ...]


def protect(connection: Connection) -> None:
    """Put the rules on all tables; who makes the tables sees everything."""
    for statement in (*_OWN.split(";"), *_FUNCTIONS.split(";\n")):
        connection.exec_driver_sql(statement.replace("%s", ";"))
    connection.execute(
        text("INSERT INTO coach VALUES (:login, true) ON CONFLICT DO NOTHING"),
        {"login": current_login(connection)},
    )
    for table, rules in RULES.items():
        connection.exec_driver_sql(f"ALTER TABLE {table} ENABLE ROW LEVEL SECURITY")
        connection.exec_driver_sql(f"ALTER TABLE {table} FORCE ROW LEVEL SECURITY")
        for which, seen, allowed in rules:
            name = f"{table}_{which.lower()}"
            connection.exec_driver_sql(f"DROP POLICY IF EXISTS {name} ON {table}")
            parts = [f"CREATE POLICY {name} ON {table} FOR {which}"]
            parts += [f"USING ({seen})"] if seen else []
            parts += [f"WITH CHECK ({allowed})"] if allowed else []
            connection.exec_driver_sql(" ".join(parts))
    if connection.execute(text("SELECT to_regrole(:name)"), {"name": _role(connection)}).scalar():
        _grant(connection)


def current_login(connection: Connection) -> str:
    """Return as whom the connection acts: what the rules of the rows go by."""
    return str(connection.execute(text("SELECT current_user")).scalar_one())


def sees_everything(connection: Connection) -> bool:
    """Return whether no rule hides a swimmer from this connection."""
    query = f"SELECT {_ALL} OR rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = CURRENT_USER"  # noqa: S608
    return bool(connection.execute(text(query)).scalar())


def is_keeper(connection: Connection) -> bool:
    """Return whether a login owns a server's tables and no rule hides a row of them from it."""
    return sees_everything(connection) and _owns_tables(connection)


def add_coach(
    connection: Connection, login: str, groups: Sequence[str], *, everything: bool, password: str | None
) -> None:
    """Let a login in, made if it is not there, and share groups with it.

    Raises
    ------
    UsageError
        If it is no name for a login, or one that the rules cannot bind.
    """
    _owner_only(connection)
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
    if password is not None:
        # Only a salted verifier goes over the wire and into the server's log.
        driver = connection.connection.driver_connection
        verifier = driver.pgconn.encrypt_password(password.encode(), login.encode(), b"scram-sha-256")  # type: ignore[union-attr]
        connection.exec_driver_sql(f"ALTER ROLE {quoted} PASSWORD '{verifier.decode('ascii')}'")
    role = _role(connection)
    if not connection.execute(text("SELECT to_regrole(:name)"), {"name": role}).scalar():
        connection.exec_driver_sql(f"CREATE ROLE {role} NOLOGIN")
        _grant(connection)
    connection.exec_driver_sql(f"GRANT {role} TO {quoted}")
    connection.execute(
        text(
            "INSERT INTO coach VALUES (:login, :everything) "
            "ON CONFLICT (login) DO UPDATE SET everything = excluded.everything"
        ),
        {"login": login, "everything": everything},
    )
    share(connection, login, groups)


def share(connection: Connection, login: str, groups: Sequence[str]) -> None:
    """Share groups with a coach."""
    _check_coach(connection, login)
    for group in groups:
        connection.execute(
            text("INSERT INTO coach_group VALUES (:login, :group) ON CONFLICT DO NOTHING"),
            {"login": login, "group": group},
        )


def unshare(connection: Connection, login: str, groups: Sequence[str]) -> None:
    """Take groups away from a coach."""
    _check_coach(connection, login)
    for group in groups:
        connection.execute(
            text('DELETE FROM coach_group WHERE login = :login AND "group" = :group'),
            {"login": login, "group": group},
        )


def remove_coach(connection: Connection, login: str) -> None:
    """Let a coach see nothing any more. The login stays: the server may have other uses for it.

    Raises
    ------
    UsageError
        If it is one's own.
    """
    _check_coach(connection, login)
    if login == current_login(connection):
        raise UsageError("you would lock yourself out; let another login that sees everything do it")
    connection.exec_driver_sql(f"REVOKE {_role(connection)} FROM {_quoted(connection, login)}")
    connection.execute(text("DELETE FROM coach WHERE login = :login"), {"login": login})


def coaches(connection: Connection) -> list[Coach]:
    """Return all coaches by login."""
    _server_only(connection)
    groups: dict[str, list[str]] = {}
    for login, group in connection.execute(text('SELECT login, "group" FROM coach_group ORDER BY 1, 2')):
        groups.setdefault(login, []).append(group)
    rows = connection.execute(text("SELECT login, everything FROM coach ORDER BY login"))
    return [Coach(login, everything, tuple(groups.get(login, ()))) for login, everything in rows]


def _check_coach(connection: Connection, login: str) -> None:
    _owner_only(connection)
    if not connection.execute(text("SELECT 1 FROM coach WHERE login = :login"), {"login": login}).scalar():
        known = ", ".join(coach.login for coach in coaches(connection))
        raise UsageError(f"no coach has the login {login!r}; there are {known}")


def _server_only(connection: Connection) -> None:
    if connection.dialect.name == "sqlite":
        raise UsageError("a file has no logins: several coaches need a PostgreSQL server (see the README)")


def _owner_only(connection: Connection) -> None:
    """Refuse whom the server would refuse anyway, in plainer words."""
    _server_only(connection)
    if not _owns_tables(connection):
        raise UsageError("only the login that made the tables can say who sees what")


def _owns_tables(connection: Connection) -> bool:
    query = "SELECT pg_has_role(relowner, 'USAGE') FROM pg_class WHERE oid = to_regclass('coach')"
    return bool(connection.execute(text(query)).scalar())


def _role(connection: Connection) -> str:
    """Return the role whose members may use this database's tables; roles are the whole server's."""
    number = connection.execute(
        text("SELECT oid FROM pg_database WHERE datname = current_database()")
    ).scalar_one()
    return f"slackwater_coach_{int(number)}"


def _grant(connection: Connection) -> None:
    role = _role(connection)
    connection.exec_driver_sql(f"GRANT USAGE ON SCHEMA public TO {role}")
    tables = ", ".join((*RULES, *_SHARED))
    connection.exec_driver_sql(f"GRANT SELECT, INSERT, UPDATE, DELETE ON {tables} TO {role}")
    connection.exec_driver_sql(f"GRANT SELECT ON coach, coach_group, alembic_version TO {role}")
    connection.exec_driver_sql(f"GRANT USAGE, SELECT, UPDATE ON ALL SEQUENCES IN SCHEMA public TO {role}")


def _quoted(connection: Connection, name: str) -> str:
    return connection.dialect.identifier_preparer.quote_identifier(name)
