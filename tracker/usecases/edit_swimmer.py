"""Change what is written down of a swimmer: group, year of birth, target, label, archived or not."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from tracker.entry.forms import changed_record, changes_between
from tracker.errors import UsageError
from tracker.records.plausibility import Limits
from tracker.records.swimmer import Swimmer
from tracker.records.text import name_key
from tracker.settings import DEFAULT
from tracker.store.database import Store
from tracker.usecases.add_swimmer import check_birth, check_free


def edit_swimmer(  # noqa: PLR0913 - each its own switch, all by keyword
    store: Store,
    name: str,
    form: Mapping[str, str],
    *,
    as_of: dt.date,
    limits: Limits = DEFAULT,
    who: str,
    at: dt.datetime,
) -> Swimmer:
    """Put the fields of a form into a swimmer's record; an empty one goes back to nothing.

    Parameters
    ----------
    limits
        Between which paces a target may be.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    EntryError
        With every problem of the form, or if the new label is taken.
    """
    with store.read() as reader:
        old = reader.swimmer(name)
        labels = reader.labels(archived=True)
    new = changed_record(old.record, form, limits=limits)
    check_birth(new, as_of)
    if name_key(new.swimmer) != name_key(old.record.swimmer):
        check_free(new.swimmer, labels)
    changes = changes_between(old.record, new)
    if changes:
        with store.write(who=who, what=f"edit {new.swimmer}", at=at) as writer:
            writer.change(Swimmer, old.id, old.version, **changes)
    return new


def archive_swimmer(
    store: Store, name: str, *, back: bool, as_of: dt.date, who: str, at: dt.datetime
) -> Swimmer:
    """Put a swimmer away, off the roster but kept; or take them `back`.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    UsageError
        If they are away already, or not away.
    """
    with store.read() as reader:
        old = reader.swimmer(name)
    label, since = old.record.swimmer, old.record.archived
    if back and since is None:
        raise UsageError(f"{label} is not archived")
    if not back and since is not None:
        raise UsageError(
            f"{label} is archived already, since {since}; 'swimmer archive --back' takes them back"
        )
    what = f"take {label} back" if back else f"archive {label}"
    archived = None if back else as_of
    with store.write(who=who, what=what, at=at) as writer:
        writer.change(Swimmer, old.id, old.version, archived=archived)
    return old.record.model_copy(update={"archived": archived})
