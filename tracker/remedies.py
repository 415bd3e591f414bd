"""Remedies of errors, as values: no flag, command or key is named here.

An error, a problem or a remark says what is wrong and carries its remedy. The command line words it with
flags and commands (`cli/remedies.py`), the screens with keys and fields (`tui/remedies.py`); the Python API
leaves it out.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, StrEnum, auto


class Named(StrEnum):
    """What has a name and can be listed."""

    SWIMMER = "swimmer"
    FAULT = "fault"
    AREA = "area"
    MEASURE = "measure"
    TEST = "test"
    CUE = "cue in use"
    DRILL = "drill in use"


class Numbered(StrEnum):
    """What has a number and can be listed with it."""

    SWIM = "swim"
    REVIEW_ITEM = "review item"
    FAULT_STEP = "fault step"
    EVENT = "event"
    LOAD = "load"
    WORK = "work"


class Mend(Enum):
    """A remedy that needs no more to be known than which one it is."""

    # What is typed.
    ACCEPT = auto()
    """Say that it is right, although it looks wrong."""
    SAY_SIDE = auto()
    """Say which side is meant."""
    ONE_ITEM_ALONE = auto()
    """Correct one item, not the whole look."""
    OPEN_FAULT = auto()
    """Write down first that the fault was seen."""
    SEE_TESTS = auto()
    """Look up which tests there are."""
    BLANK_SHEET = auto()
    """Begin with a blank sheet for a squad."""

    # People and their data.
    HEALTH_ON = auto()
    """Switch events about health on."""
    HEALTH_ON_IF_AGREED = auto()
    """Or switch events about health on, if the swimmer has agreed."""
    HEALTH_ON_TO_CHANGE = auto()
    """Or switch events about health on, to change this one."""
    NEW_CONSENT = auto()
    """Write down that consent was given again."""
    BY_GUARDIAN = auto()
    """Write down that a guardian gave it."""
    EDIT_SWIMMER = auto()
    """Correct what is on record about the swimmer."""
    CORRECT = auto()
    """Correct an entry."""
    ERASE = auto()
    """Erase the swimmer."""
    WITH_HEALTH = auto()
    """Make the copy again, with what is about health."""

    # Files to read.
    NAME_SWIMMER = auto()
    """Say whose swims they are."""
    NAME_TEST = auto()
    """Say which test was swum, or what the columns mean."""
    NAME_COURSE = auto()
    """Say in which course it was swum."""
    MAP_COLUMNS = auto()
    """Say what the columns mean."""
    OR_MAP_COLUMNS = auto()
    """The same, as the other way out."""
    SAY_DATE_ORDER = auto()
    """Say in which order the file's dates name day and month."""
    MORE_ROWS = auto()
    """Allow more rows."""
    OR_MORE_ROWS = auto()
    """The same, as the other way out."""
    MORE_MEGABYTES = auto()
    """Allow a larger file."""
    MORE_UNPACKED = auto()
    """Allow a workbook that is larger when unpacked."""

    # Files to write.
    REPLACE = auto()
    """Replace what is there."""
    EMPTY_FOLDER = auto()
    """Name a new or empty folder."""
    SCAN_ANEW = auto()
    """Or work everything out again and cache nothing."""

    # The database.
    CHECK = auto()
    """Check the database."""
    CHECK_OR_RESTORE = auto()
    """Check the database, or restore a backup."""
    CHECK_A_FILE = auto()
    """Check a file: a server checks itself."""
    MAKE_PRIVATE = auto()
    """Take the file from others' eyes."""
    NAME_DATABASE = auto()
    """Or name another database."""
    LOOK_IN_HISTORY = auto()
    """Look whether the change was made."""
    SEE_GROUPS = auto()
    """Look which groups are shared with the login."""
    ASK_FOR_LOGIN = auto()
    """Ask the server's keeper for a login."""


@dataclass(frozen=True)
class FillIn:
    """Give what is missing, by its names as the use-case knows it ("reason")."""

    fields: tuple[str, ...]


@dataclass(frozen=True)
class ListThem:
    """Look up which ones there are."""

    kind: Named | Numbered


@dataclass(frozen=True)
class SayClock:
    """Say whether a time of day in a workbook means so many minutes and seconds, or hours."""

    minutes: int
    seconds: str


@dataclass(frozen=True)
class TakeBack:
    """Take an archived swimmer back; `swimmer` is empty where the text has just named them."""

    swimmer: str = ""


@dataclass(frozen=True)
class ApplyLevels:
    """Put the levels just found into the settings."""


Remedy = Mend | FillIn | ListThem | SayClock | TakeBack | ApplyLevels
"""Each place that takes a remedy apart ends in `assert_never`."""


@dataclass(frozen=True)
class Wording:
    """How a shell words what is left open below it.

    Attributes
    ----------
    remedy
        The end of a sentence that says how to mend it here, with what joins it on; "" where there is none.
    field
        What a field of an entry is called here.
    option
        What an option of a use-case is called here.
    """

    remedy: Callable[[Remedy], str]
    field: Callable[[str], str]
    option: Callable[[str], str]

    def after(self, text: str, remedy: Remedy | None) -> str:
        """Return what was said, and after it how to mend it."""
        return text if remedy is None else f"{text}{self.remedy(remedy)}"


NO_SHELL = Wording(lambda _: "", str, str)
"""For those who have neither flags nor keys: what is wrong, and no more."""


@dataclass(frozen=True)
class Remark:
    """Something a person should know, and what would mend it."""

    text: str
    remedy: Remedy | None = None

    def __str__(self) -> str:
        """Return what is said, in no shell's words."""
        return self.text

    def worded(self, wording: Wording) -> str:
        """Return it in a shell's words."""
        return wording.after(self.text, self.remedy)
