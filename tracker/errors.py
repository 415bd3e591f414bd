"""One error root, one branch per kind of failure; each carries the exit code of the command line.

Every message is one line and says what is wrong and where. How to mend it is in the message where that is
the same everywhere, else a value of `tracker.remedies` that each shell words with its own flags or keys.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from tracker.remedies import NO_SHELL, ListThem, Named, Numbered, Remedy, Wording

_PLAIN: Final[Mapping[Numbered, str]] = {
    Numbered.SWIM: "swim",
    Numbered.REVIEW_ITEM: "entry of a review",
    Numbered.FAULT_STEP: "step of a fault",
    Numbered.EVENT: "event",
    Numbered.LOAD: "week",
    Numbered.WORK: "cue or drill",
}
"""What has a number -> its plain name."""
_LISTED: Final[Mapping[str, Named | Numbered]] = {kind.value: kind for kind in (*Named, *Numbered)}


class SlackwaterError(Exception):
    """Root of all errors that are reported to a person; exit code 1.

    Attributes
    ----------
    remedy
        What would mend it, for a shell to word; None where the text says all.
    """

    exit_code = 1

    def __init__(self, said: str = "", remedy: Remedy | None = None) -> None:
        super().__init__(said)
        self.remedy = remedy

    def worded(self, wording: Wording) -> str:
        """Return the one line in a shell's words."""
        return wording.after(str(self), self.remedy)


class NotReadError(ValueError):
    """A text that cannot be read as a value, with what would mend it."""

    def __init__(self, said: str, remedy: Remedy | None = None) -> None:
        super().__init__(said)
        self.remedy = remedy


def remedy_of(error: BaseException) -> Remedy | None:
    """Return what would mend it, where an error knows that."""
    return error.remedy if isinstance(error, (SlackwaterError, NotReadError)) else None


class UsageError(SlackwaterError):
    """What was asked for does not make sense as it stands; exit code 2."""

    exit_code = 2


class OptionError(UsageError):
    """An option of a use-case that does not fit; `said` goes on after its name.

    Attributes
    ----------
    option
        Its name as the use-case has it ("keep").
    """

    def __init__(self, option: str, message: str, remedy: Remedy | None = None) -> None:
        super().__init__(f"{option} {message}", remedy)
        self.option = option
        self._said = message

    def worded(self, wording: Wording) -> str:
        """Return the one line in a shell's words."""
        return wording.after(f"{wording.option(self.option)} {self._said}", self.remedy)


_FEW = 9
"""So many labels are named where a name fits many."""


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
        kind = _LISTED.get(what)
        if isinstance(kind, Numbered):
            said = f"no {_PLAIN[kind]} has the number {name}"
        else:
            said = f"no {what} is called {name!r}"
        if nearest:
            super().__init__(f"{said}; did you mean {', '.join(nearest)}?")
        else:
            super().__init__(said, ListThem(kind) if kind else None)
        self.what = what
        self.name = name
        self.nearest = nearest


class AmbiguousNameError(UnknownNameError):
    """A name that more than one swimmer may be meant by.

    Attributes
    ----------
    choices
        Their labels.
    """

    def __init__(self, name: str, choices: tuple[str, ...]) -> None:
        few = choices[:_FEW]
        more = f" and {len(choices) - _FEW} more" if len(choices) > _FEW else ""
        number = "two" if len(choices) == 2 else str(len(choices))
        UsageError.__init__(self, f"{name!r} fits {number} swimmers: {', '.join(few)}{more}")
        self.what = "swimmer"
        self.name = name
        self.nearest = self.choices = choices


@dataclass(frozen=True)
class Problem:
    """One thing wrong with one field of an entry, or with one cell of a file.

    Attributes
    ----------
    field
        The name of the record's or the form's field ("time"), or the column's.
    value
        What was written, cleaned for display.
    reason
        What is wrong with it.
    row
        The row in its file, counting the header as row 1; None for a form.
    file
        The file's name; empty for a form.
    choices
        What may be meant, each as it is typed without doubt; empty unless it is a question.
    remedy
        What would mend it, where the reason does not say it.
    """

    field: str
    value: str
    reason: str
    row: int | None = None
    file: str = ""
    choices: tuple[str, ...] = ()
    remedy: Remedy | None = None

    def __str__(self) -> str:
        """Return the place, the field and the reason in one line, in no shell's words."""
        return self.worded(NO_SHELL)

    def worded(self, wording: Wording) -> str:
        """Return the place, the field and the reason in a shell's words; a column keeps its name."""
        field = self.field if self.file else wording.field(self.field)
        parts = [part for part in (self.file, str(self.row) if self.row is not None else "", field) if part]
        return f"{':'.join(parts)}: {self.reason_in(wording)}"

    def reason_in(self, wording: Wording) -> str:
        """Return the reason in a shell's words."""
        return wording.after(self.reason, self.remedy)


class EntryError(UsageError):
    """An entry that cannot be taken; holds every problem found, not only the first."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("; ".join(str(problem) for problem in problems))
        self.problems = problems

    def worded(self, wording: Wording) -> str:
        """Return all problems in one line, in a shell's words."""
        return "; ".join(problem.worded(wording) for problem in self.problems)


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
