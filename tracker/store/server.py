"""What is PostgreSQL's own: connections, one writer at a time, and its errors in our words."""

from __future__ import annotations

import re
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, text
from sqlalchemy.exc import DisconnectionError

from tracker.errors import BadFileError, BusyError, SlackwaterError, UsageError
from tracker.remedies import Mend

WRITES = "slackwater_writes"
"""The execution option of a transaction that writes: `RECORDS`, or `TABLES` to make or migrate them."""
RECORDS, TABLES = "records", "tables"

_MAKERS = 7_311_953
"""The advisory lock held while tables are made or migrated."""
_LOCK_TIMEOUT = "SET LOCAL lock_timeout = '5s'"
"""As long as SQLite's busy_timeout."""


def make_server_engine(address: URL) -> Engine:
    """Return an engine for a server: a snapshot for each transaction, one writer at a time.

    A connection that comes back is made as new: whatever role or setting its user took on is
    gone before anybody else has it.
    """
    try:
        engine = create_engine(
            address,
            hide_parameters=True,
            isolation_level="REPEATABLE READ",
            connect_args={"connect_timeout": 10, "application_name": "slackwater"},
        )
    except ModuleNotFoundError:
        raise UsageError("PostgreSQL needs its driver: pip install 'slackwater[postgres]'") from None
    event.listen(engine, "begin", _begin)
    event.listen(engine, "checkout", _reset_connection)
    return engine


def _begin(connection: Connection) -> None:
    """Take the writer's lock before the first statement, which fixes what the transaction sees."""
    writes = connection.get_execution_options().get(WRITES)
    if not writes:
        return
    connection.exec_driver_sql(_LOCK_TIMEOUT)
    if writes == TABLES:
        # Asking for an advisory lock fixes the snapshot too early; this transaction needs none.
        connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL READ COMMITTED")
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({_MAKERS})")
    else:
        connection.exec_driver_sql("LOCK TABLE state IN EXCLUSIVE MODE")


def _reset_connection(driver: Any, _record: object, _proxy: object) -> None:  # noqa: ANN401 - the driver's own
    try:
        before = driver.autocommit
        driver.autocommit = True
        driver.execute("RESET SESSION AUTHORIZATION")
        driver.execute("RESET ALL")
        driver.autocommit = before
    except Exception:
        if driver.closed:  # lost while nobody used it, by a restart perhaps: another is opened instead
            raise DisconnectionError from None
        raise


def current_login(connection: Connection) -> str:
    """Return as whom the connection acts: what the rules of the rows go by."""
    return str(connection.execute(text("SELECT current_user")).scalar_one())


def translate_server_error(error: BaseException, place: str) -> SlackwaterError | None:
    """Return our own error for one of PostgreSQL's; None if it is not one."""
    state = getattr(error, "sqlstate", None)
    if type(error).__module__.partition(".")[0] != "psycopg":
        return None
    if state is None:
        return _connection_error(str(error), place)
    if state in {"55P03", "40001", "40P01"}:
        return BusyError(f"{place} is in use by another; nothing was changed; try again in a moment")
    if state.startswith(("22", "23")):
        return UsageError(f"{place} refuses the entry: {_rule_broken(error, state)}")
    if state in _WORDS:
        kind, words = _WORDS[state]
        return kind(f"{place}: {words}", _REMEDIES.get(state))
    if state.startswith(("08", "57P")):
        return connection_lost_error(place, at_end=False)
    return SlackwaterError(f"{place}: the database reports {type(error).__name__}; nothing was changed")


def connection_lost_error(place: str, *, at_end: bool) -> SlackwaterError:
    """Return our own error for a connection lost on the way.

    Parameters
    ----------
    at_end
        Whether it was lost while the change was being made final: then nobody here knows whether it is.
    """
    if at_end:
        return SlackwaterError(
            f"{place}: the server broke off while it was making the change final", Mend.LOOK_IN_HISTORY
        )
    return SlackwaterError(
        f"{place}: the server broke off; nothing was changed; try again, and ask its keeper if it stays "
        "away (its log says why: a full disk, perhaps)"
    )


_FULL = (SlackwaterError, "the server's disk is full; nothing was changed; make room and try again")
_CROWDED = (BusyError, "the server has no connection left; nothing was changed; try again in a moment")
_DAMAGED = (BadFileError, "the server's data are damaged; ask its keeper to restore a backup")
_WORDS: dict[str, tuple[type[SlackwaterError], str]] = {
    "42501": (
        UsageError,
        "your login may not do this; it sees and changes only swimmers of the groups shared with it",
    ),
    "53100": _FULL,
    "53200": (SlackwaterError, "the server is out of memory; nothing was changed; ask its keeper"),
    "53300": _CROWDED,
    "53400": (SlackwaterError, "a limit of the server is reached; nothing was changed; ask its keeper"),
    "58030": (SlackwaterError, "the server's disk reports an error; nothing was changed; ask its keeper"),
    "XX001": _DAMAGED,
    "XX002": _DAMAGED,
    "57014": (SlackwaterError, "the server stopped the statement; nothing was changed"),
    "25006": (SlackwaterError, "the server takes no writes (a standby?); give the main server's address"),
    "42P01": (BadFileError, "tables are missing or are another program's; give another database"),
}
_NO_LOGIN = "role .* does not exist"
_REMEDIES: dict[str, Mend] = {"42501": Mend.SEE_GROUPS, _NO_LOGIN: Mend.ASK_FOR_LOGIN}
"""What would mend it, by the code or the pattern."""


def _rule_broken(error: BaseException, state: str) -> str:
    """Return which rule was broken, in words; names of columns only, no values."""
    diagnosis = getattr(error, "diag", None)
    rule = str(getattr(diagnosis, "constraint_name", "") or "")
    column = rule.removeprefix(f"{getattr(diagnosis, 'table_name', '')}_")
    if state == "23505":
        return f"{column.removesuffix('_key')} is already there"
    if state == "23503":
        return "it names a swimmer that is not there, or that still has records"
    if state == "23514":
        return f"{rule} is out of range"
    return "it breaks a rule of the database"


_LOGIN_ERRORS: tuple[tuple[str, type[SlackwaterError], str], ...] = (
    (
        "password authentication failed|no password supplied",
        UsageError,
        "the server refuses the login or its password; set it in ~/.pgpass or PGPASSWORD",
    ),
    (
        _NO_LOGIN,
        UsageError,
        "the server knows no such login",
    ),
    (
        "database .* does not exist",
        UsageError,
        "the server has no such database; make it with 'createdb'",
    ),
    ("pg_hba", UsageError, "the server does not let this login in from here; ask its keeper"),
    ("too many c|connection slots are reserved", *_CROWDED),
    (
        "starting up|shutting down|recovery mode|not yet accepting",
        BusyError,
        "the server is starting or stopping; try again in a moment",
    ),
    ("No space left", *_FULL),
)
"""What a refusal at the door says, which has no code of its own, and what it means."""


def _connection_error(said: str, place: str) -> SlackwaterError:
    """Return why there is no connection. The driver's own words might hold the address with its secret."""
    for pattern, kind, words in _LOGIN_ERRORS:
        if re.search(pattern, said):
            return kind(f"{place}: {words}", _REMEDIES.get(pattern))
    return SlackwaterError(f"{place}: cannot reach the server; is it on, and is the address right?")
