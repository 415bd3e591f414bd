"""Several coaches on one server: which swimmers each sees, enforced by the database.

Every coach is a login of PostgreSQL. A coach sees the swimmers of the groups shared with them, and all
that is on record of those; a group may be shared with many. The rules are row-level security, forced on
every table with a swimmer's data, so that they bind the tables' owner too, views, COPY and SQL by hand.
They go by ``current_user``; there is nothing that the program could forget to set.
"""

from __future__ import annotations

from sqlalchemy import Connection, text

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
    if connection.execute(text("SELECT to_regrole(:name)"), {"name": role_of_coaches(connection)}).scalar():
        grant(connection)


def current_login(connection: Connection) -> str:
    """Return the role that the connection acts as: row security goes by it."""
    return str(connection.execute(text("SELECT current_user")).scalar_one())


def sees_everything(connection: Connection) -> bool:
    """Return whether no rule hides a swimmer from this connection."""
    query = f"SELECT {_ALL} OR rolsuper OR rolbypassrls FROM pg_roles WHERE rolname = CURRENT_USER"  # noqa: S608
    return bool(connection.execute(text(query)).scalar())


def is_keeper(connection: Connection) -> bool:
    """Return whether a login owns a server's tables and no rule hides a row of them from it."""
    return sees_everything(connection) and owns_tables(connection)


def owns_tables(connection: Connection) -> bool:
    """Return whether the login made the tables, or acts for who did."""
    query = "SELECT pg_has_role(relowner, 'USAGE') FROM pg_class WHERE oid = to_regclass('coach')"
    return bool(connection.execute(text(query)).scalar())


def role_of_coaches(connection: Connection) -> str:
    """Return the role whose members may use this database's tables; roles are the whole server's."""
    number = connection.execute(
        text("SELECT oid FROM pg_database WHERE datname = current_database()")
    ).scalar_one()
    return f"slackwater_coach_{int(number)}"


def grant(connection: Connection) -> None:
    """Let the coaches' role use the tables, as far as the rules allow."""
    role = role_of_coaches(connection)
    connection.exec_driver_sql(f"GRANT USAGE ON SCHEMA public TO {role}")
    tables = ", ".join((*RULES, *_SHARED))
    connection.exec_driver_sql(f"GRANT SELECT, INSERT, UPDATE, DELETE ON {tables} TO {role}")
    connection.exec_driver_sql(f"GRANT SELECT ON coach, coach_group, alembic_version TO {role}")
    connection.exec_driver_sql(f"GRANT USAGE, SELECT, UPDATE ON ALL SEQUENCES IN SCHEMA public TO {role}")
