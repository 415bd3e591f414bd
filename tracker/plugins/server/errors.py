"""Translate PostgreSQL's errors."""

from __future__ import annotations

import re

from tracker.errors import BadFileError, BusyError, SlackwaterError, UsageError
from tracker.remedies import Mend


def translate_error(error: BaseException, database: str) -> SlackwaterError:
    """Return our own error for one of the driver's."""
    state = getattr(error, "sqlstate", None)
    if state is None:
        return _connection_error(str(error), database)
    if state in {"55P03", "40001", "40P01"}:
        return BusyError(f"{database} is in use by another; nothing was changed; try again in a moment")
    if state.startswith(("22", "23")):
        return UsageError(f"{database} refuses the entry: {_rule_broken(error, state)}")
    if state in _ERRORS_BY_STATE:
        kind, words = _ERRORS_BY_STATE[state]
        return kind(f"{database}: {words}", _REMEDIES.get(state))
    if state.startswith(("08", "57P")):
        return connection_lost_error(database, at_end=False)
    return SlackwaterError(f"{database}: the database reports {type(error).__name__}; nothing was changed")


def connection_lost_error(database: str, *, at_end: bool) -> SlackwaterError:
    """Return our own error for a connection lost on the way.

    Parameters
    ----------
    at_end
        Whether it was lost while the change was being made final: then nobody here knows whether it is.
    """
    if at_end:
        return SlackwaterError(
            f"{database}: the server broke off while it was making the change final", Mend.LOOK_IN_HISTORY
        )
    return SlackwaterError(
        f"{database}: the server broke off; nothing was changed; try again, and ask its keeper if it stays "
        "away (its log says why: a full disk, perhaps)"
    )


_FULL = (SlackwaterError, "the server's disk is full; nothing was changed; make room and try again")
_CROWDED = (BusyError, "the server has no connection left; nothing was changed; try again in a moment")
_DAMAGED = (BadFileError, "the server's data are damaged; ask its keeper to restore a backup")
_ERRORS_BY_STATE: dict[str, tuple[type[SlackwaterError], str]] = {
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


def _connection_error(said: str, database: str) -> SlackwaterError:
    """Return why there is no connection. The driver's own words might hold the address with its secret."""
    for pattern, kind, words in _LOGIN_ERRORS:
        if re.search(pattern, said):
            return kind(f"{database}: {words}", _REMEDIES.get(pattern))
    return SlackwaterError(f"{database}: cannot reach the server; is it on, and is the address right?")
