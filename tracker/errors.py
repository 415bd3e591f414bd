"""One error root, one branch per kind of failure; each carries the exit code of the command line.

Every message is one line and says what is wrong, where, and how to mend it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

_LISTED_BY: Final[Mapping[str, str]] = {
    "swimmer": "swimmer list",
    "fault": "fault list",
    "area": "review areas",
    "measure": "review areas",
    "test": "test list",
    "cue in use": "cue NAME list",
    "drill in use": "drill NAME list",
}
"""What has a name -> the command that lists all of its kind."""
_NUMBERED: Final[Mapping[str, tuple[str, str]]] = {
    "swim": ("swim", "swims NAME"),
    "review item": ("entry of a review", "review list NAME"),
    "fault step": ("step of a fault", "fault steps NAME"),
    "event": ("event", "event list NAME"),
    "load": ("week", "load list NAME"),
    "work": ("cue or drill", "cue NAME list' or 'slackwater drill NAME list"),
}
"""What has a number -> its plain name, and the command that shows the numbers."""


class SlackwaterError(Exception):
    """Root of all errors that are reported to a person; exit code 1."""

    exit_code = 1


class UsageError(SlackwaterError):
    """What was asked for does not make sense as it stands; exit code 2."""

    exit_code = 2


class UnknownNameError(UsageError):
    """A swimmer, fault or test that is not known, or a number that no entry has.

    Parameters
    ----------
    what
        The kind of thing, in words ("swimmer").
    name
        What was typed.
    nearest
        Names that look like it, best first; may be empty.
    """

    def __init__(self, what: str, name: str, nearest: tuple[str, ...] = ()) -> None:
        if what in _NUMBERED:
            plain, lists = _NUMBERED[what]
            said = f"no {plain} has the number {name}"
        else:
            lists = _LISTED_BY.get(what, "")
            said = f"no {what} is called {name!r}"
        mend = f"; 'slackwater {lists}' lists them" if lists else ""
        super().__init__(f"{said}; did you mean {', '.join(nearest)}?" if nearest else f"{said}{mend}")
        self.what = what
        self.name = name
        self.nearest = nearest


@dataclass(frozen=True)
class Problem:
    """One thing wrong with one field of an entry, or with one cell of a file.

    Attributes
    ----------
    field
        The field's name as the user knows it ("time", "--course").
    value
        What was written, cleaned for display.
    reason
        What is wrong with it, and how to mend it where that is not plain.
    row
        The row in its file, counting the header as row 1; None for a form.
    file
        The file's name; empty for a form.
    choices
        What may be meant, each as it is typed without doubt; empty unless it is a question.
    """

    field: str
    value: str
    reason: str
    row: int | None = None
    file: str = ""
    choices: tuple[str, ...] = ()

    def __str__(self) -> str:
        """Return the place, the field and the reason in one line."""
        parts = [
            part for part in (self.file, str(self.row) if self.row is not None else "", self.field) if part
        ]
        return f"{':'.join(parts)}: {self.reason}"


class EntryError(UsageError):
    """An entry that cannot be taken; holds every problem found, not only the first."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("; ".join(str(problem) for problem in problems))
        self.problems = problems


class DecisionNeededError(UsageError):
    """The entry is possible but implausible; a person (or a flag) must decide."""


class UnwritableError(SlackwaterError):
    """The record can be read and not written: a full disk, a read-only one, somebody else's folder."""


class StaleError(SlackwaterError):
    """The row was changed by somebody else since it was read; holds both versions' words."""


class SomeFailedError(SlackwaterError):
    """Some rows or pages failed, the rest is done; exit code 3."""

    exit_code = 3


class BadFileError(SlackwaterError):
    """The input file cannot be used; exit code 4."""

    exit_code = 4


class BusyError(SlackwaterError):
    """Another process holds the database; exit code 5."""

    exit_code = 5


class TooFewError(SlackwaterError):
    """Too little data for a computation; never shown as such, becomes "too early"."""
