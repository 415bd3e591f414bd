"""Swimmers: add, edit, list, show, archive."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from tracker.app.session import Session
from tracker.entry.forms import changed_record, changes_between, read_record
from tracker.errors import EntryError, Problem, UsageError
from tracker.model.base import Record
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Choice, Consent, Swimmer, consent_status
from tracker.model.text import confusable_key, name_key
from tracker.model.told import Told
from tracker.model.vocabularies import ConsentStatus, Purpose
from tracker.model.work import Work
from tracker.remedies import TakeBack
from tracker.store.tables import DATE_OF


def add_swimmer(session: Session, form: Mapping[str, str]) -> tuple[Swimmer, tuple[str, ...]]:
    """Add one swimmer; return them, and the labels that look like theirs.

    Parameters
    ----------
    form
        Fields of `Swimmer` as typed.


    Raises
    ------
    EntryError
        With every problem of the form, or if the label is taken.
    """
    swimmer = read_record(Swimmer, form, limits=session.settings)
    check_birth(swimmer, session.today)
    with session.write(f"add {swimmer.swimmer}") as writer:
        labels = writer.labels(archived=True)
        check_free(swimmer.swimmer, labels)
        writer.add([swimmer])
    look = confusable_key(swimmer.swimmer)
    return swimmer, tuple(label for label in labels if confusable_key(label) == look)


def check_free(label: str, taken: list[str]) -> None:
    """Raise `EntryError` if a label is spelt like one that is taken."""
    same = [other for other in taken if name_key(other) == name_key(label)]
    if same:
        reason = f"{same[0]!r} is there already; a second person of that name needs another label"
        raise EntryError((Problem("swimmer", label, reason),))


def check_birth(swimmer: Swimmer, as_of: dt.date) -> None:
    """Raise `EntryError` if the year of birth has not come yet."""
    if swimmer.born is not None and swimmer.born > as_of.year:
        raise EntryError((Problem("born", str(swimmer.born), f"'{swimmer.born}' has not come yet"),))


def edit_swimmer(session: Session, name: str, form: Mapping[str, str]) -> Swimmer:
    """Put the fields of a form into a swimmer's record; an empty one goes back to nothing.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    EntryError
        With every problem of the form, or if the new label is taken.
    """
    with session.store.read() as reader:
        old = reader.swimmer(name)
        labels = reader.labels(archived=True)
    new = changed_record(old.record, form, limits=session.settings)
    check_birth(new, session.today)
    if name_key(new.swimmer) != name_key(old.record.swimmer):
        check_free(new.swimmer, labels)
    changes = changes_between(old.record, new)
    if changes:
        with session.write(f"edit {new.swimmer}") as writer:
            writer.change(Swimmer, old.id, old.version, **changes)
    return new


def archive_swimmer(session: Session, name: str, *, back: bool) -> Swimmer:
    """Archive a swimmer: off the roster, on record; or take them `back`.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    UsageError
        If they are away already, or not away.
    """
    with session.store.read() as reader:
        old = reader.swimmer(name)
    label, since = old.record.swimmer, old.record.archived
    if back and since is None:
        raise UsageError(f"{label} is not archived")
    if not back and since is not None:
        raise UsageError(f"{label} is archived already, since {since}", TakeBack())
    what = f"take {label} back" if back else f"archive {label}"
    archived = None if back else session.today
    with session.write(what) as writer:
        writer.change(Swimmer, old.id, old.version, archived=archived)
    return old.record.model_copy(update={"archived": archived})


def list_swimmers(session: Session, *, group: str | None = None, archived: bool = False) -> list[Swimmer]:
    """Return the active swimmers in order of label, of one group if given; with `archived` all of them."""
    with session.store.read() as reader:
        people = [row.record for row in reader.all(Swimmer)]
    return [
        who
        for who in sorted(people, key=lambda who: who.swimmer)
        if (archived or who.archived is None) and group in {None, who.group}
    ]


KINDS: Mapping[str, type[Record]] = {
    "swims": Swim,
    "review items": ReviewItem,
    "fault steps": FaultStep,
    "cues and drills": Work,
    "events": Event,
    "weeks of load": Load,
    "consents": Consent,
    "choices": Choice,
    "words told": Told,
}


@dataclass(frozen=True)
class SwimmerRecord:
    """A swimmer and how many records of each kind name them."""

    swimmer: Swimmer
    counts: Mapping[str, int]


def show_swimmer(session: Session, name: str) -> SwimmerRecord:
    """Return one swimmer's record.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    with session.store.read() as reader:
        swimmer = reader.swimmer(name).record
        counts = {what: reader.count(kind, swimmer=swimmer.swimmer) for what, kind in KINDS.items()}
    return SwimmerRecord(swimmer, counts)


@dataclass(frozen=True)
class Inactive:
    """A swimmer to decide about.

    Attributes
    ----------
    first, last
        Days of the first and the last entry of any kind; None if there is none.
    withdrawn
        Whether the consent to be on record was withdrawn, or has ended.
    """

    swimmer: Swimmer
    first: dt.date | None
    last: dt.date | None
    entries: int
    withdrawn: bool


def list_inactive(session: Session, *, older_than: dt.timedelta) -> list[Inactive]:
    """Return swimmers whose last entry is older, or whose consent is gone, longest inactive first."""
    limit = session.today - older_than
    with session.store.read() as reader:
        people = [who.record for who in reader.all(Swimmer)]
        days: dict[str, list[dt.date]] = {who.swimmer: [] for who in people}
        for kind in KINDS.values():
            for row in reader.rows(kind):
                days[row[_column(kind, "swimmer")]].append(row[_column(kind, DATE_OF[kind])])
        consents: dict[str, list[Consent]] = {}
        for consent in reader.all(Consent):
            consents.setdefault(consent.record.swimmer, []).append(consent.record)
    found = [_line(who, days, consents, session.today) for who in people]
    due = [one for one in found if one.withdrawn or one.last is None or one.last < limit]
    return sorted(due, key=lambda one: (one.last or dt.date.min, one.swimmer.swimmer))


def _column(kind: type[Record], field: str) -> int:
    return list(kind.model_fields).index(field)


_GONE = frozenset({ConsentStatus.WITHDRAWN, ConsentStatus.ENDED})


def _line(
    who: Swimmer,
    days: Mapping[str, list[dt.date]],
    consents: Mapping[str, list[Consent]],
    as_of: dt.date,
) -> Inactive:
    mine = days[who.swimmer]
    gone = consent_status(consents.get(who.swimmer, ()), Purpose.RECORD, as_of) in _GONE
    return Inactive(who, min(mine, default=None), max(mine, default=None), len(mine), gone)


def archived_among(session: Session, names: Iterable[str]) -> list[Swimmer]:
    """Return those of the named swimmers who are archived, each once, in the order of the names.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    with session.store.read() as reader:
        people = [reader.swimmer(name).record for name in dict.fromkeys(names)]
    return [who for who in people if who.archived is not None]


def roster_names(session: Session) -> list[tuple[str, str]]:
    """Return (label, group) in order of label."""
    with session.store.read() as reader:
        found = reader.columns(Swimmer, ("swimmer", "group"))
    return list(zip(found["swimmer"].tolist(), found["group"].tolist(), strict=True))
