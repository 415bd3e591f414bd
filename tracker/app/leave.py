"""Leave swimmers alone until a date, with a reason; put a test or a look off; list who is left."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from tracker.app.session import Session
from tracker.entry.dates import parse_date
from tracker.entry.forms import read_record
from tracker.errors import EntryError, Problem
from tracker.model.swimmer import Choice
from tracker.model.vocabularies import ChoiceKind
from tracker.output.sentences.numbers import count
from tracker.technique.leave import Leave, Left, leave_value, leaves
from tracker.technique.pipeline import by_swimmer


def leave_until(
    session: Session, names: Sequence[str], until: str, *, what: str = "", reason: str = ""
) -> tuple[Leave, ...]:
    """Leave swimmers alone until a day, or put a test or a look of theirs off to it, as one change.

    Today as the day ends it.

    Raises
    ------
    UnknownNameError
        If somebody is not known.
    EntryError
        With every problem of what was typed.
    """
    day, left = _checked(until, what, reason, session.today)
    with session.store.read() as reader:
        labels = list(dict.fromkeys(reader.swimmer(name).record.swimmer for name in names))
    if not labels:
        raise EntryError((Problem("swimmer", "", "is missing"),))
    choices = [
        read_record(
            Choice,
            {
                "date": session.today.isoformat(),
                "swimmer": label,
                "kind": ChoiceKind.LEAVE,
                "value": leave_value(left, day),
                "reason": reason,
                "by": session.who,
            },
        )
        for label in labels
    ]
    whom = labels[0] if len(labels) == 1 else count(len(labels), "swimmer")
    with session.write(f"leave {f'the {left} of ' if left else ''}{whom} until {day}") as writer:
        writer.add(choices)
    return tuple(Leave(one.swimmer, left, day, one.reason, one.by, one.date) for one in choices)


def _checked(until: str, what: str, reason: str, today: dt.date) -> tuple[dt.date, Left]:
    problems = []
    day, left = today, Left.ALL
    try:
        day = parse_date(until) if until.strip() else today
    except ValueError as wrong:
        problems.append(Problem("until", until, str(wrong)))
    if not until.strip():
        problems.append(Problem("until", until, "is missing; a day from today on"))
    elif day < today:
        problems.append(Problem("until", until, f"'{until}' is over; a day from today on"))
    if what.strip().casefold() in set(Left):
        left = Left(what.strip().casefold())
    else:
        problems.append(Problem("what", what, f"'{what}' is none; test, look, or empty for everything"))
    if left is Left.ALL and not reason.strip() and day != today:
        problems.append(Problem("reason", reason, "is missing; who reads it later must know why"))
    if problems:
        raise EntryError(tuple(problems))
    return day, left


def list_leaves(session: Session) -> tuple[Leave, ...]:
    """Return who is left alone today and what is put off, what is over soonest first."""
    with session.store.read() as reader:
        there = set(reader.labels())
        choices = [row.record for row in reader.all(Choice, kind=ChoiceKind.LEAVE)]
    found = [
        one
        for name, own in by_swimmer(choices).items()
        if name in there
        for one in leaves(own, session.today).values()
    ]
    return tuple(sorted(found, key=lambda one: (one.until, one.swimmer)))
