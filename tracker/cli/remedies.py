"""How to mend what is wrong, on the command line: by its flags and its commands."""

from __future__ import annotations

from collections.abc import Mapping
from shlex import quote
from typing import Final, assert_never

from tracker.remedies import (
    ApplyLevels,
    FillIn,
    ListThem,
    Mend,
    Named,
    Numbered,
    Remedy,
    SayClock,
    TakeBack,
    Wording,
)

_FLAG_OF: Final[Mapping[str, str]] = {
    "scores": "--score",
    "measures": "--measure",
    "points": "--points",
    "faults": "--fault",
    "corrected": "--corrected",
    "keep": "--keep",
}
"""What is typed behind a flag of its own, by its name in the use-case; a record's fields keep their names."""


def flag_of(option: str) -> str:
    """Return the flag of an option ("push_off" -> "--push-off")."""
    return f"--{option.replace('_', '-')}"


def field_of(field: str) -> str:
    """Return what a field of an entry is called: its flag where that has another name."""
    return _FLAG_OF.get(field, field)


def remedy_words(remedy: Remedy) -> str:
    """Return how to mend it, as the end of the sentence that says what is wrong."""
    match remedy:
        case Mend():
            return _mend_words(remedy)
        case FillIn(fields):
            return f"; give {' and '.join(map(flag_of, fields))}"
        case ListThem(kind):
            return f"; '{_list_command(kind)}' lists them"
        case SayClock(minutes, seconds):
            return f"; if {minutes} min {seconds} s is meant, say --clock minutes, else --clock hours"
        case TakeBack(""):
            return "; 'swimmer archive --back' takes them back"
        case TakeBack(swimmer):
            return f" To take them back: slackwater swimmer archive {quote(swimmer)} --back"
        case ApplyLevels():
            return " 'slackwater calibrate --apply' puts them into the settings."
        case other:
            assert_never(other)


def _list_command(kind: Named | Numbered) -> str:  # noqa: C901, PLR0912 - a case a kind
    match kind:
        case Named.SWIMMER:
            return "slackwater swimmer list"
        case Named.FAULT:
            return "slackwater fault list"
        case Named.AREA | Named.MEASURE:
            return "slackwater review areas"
        case Named.TEST:
            return "slackwater test list"
        case Named.CUE:
            return "slackwater cue NAME list"
        case Named.DRILL:
            return "slackwater drill NAME list"
        case Numbered.SWIM:
            return "slackwater swims NAME"
        case Numbered.REVIEW_ITEM:
            return "slackwater review list NAME"
        case Numbered.FAULT_STEP:
            return "slackwater fault steps NAME"
        case Numbered.EVENT:
            return "slackwater event list NAME"
        case Numbered.LOAD:
            return "slackwater load list NAME"
        case Numbered.WORK:
            return "slackwater cue NAME list' or 'slackwater drill NAME list"
        case other:
            assert_never(other)


def _mend_words(mend: Mend) -> str:  # noqa: C901, PLR0912, PLR0915 - a case a remedy
    match mend:
        case Mend.ACCEPT:
            return "; if it is right, say so with --accept-implausible"
        case Mend.SAY_SIDE:
            return "; say which with --side"
        case Mend.ONE_ITEM_ALONE:
            return "; leave --whole out"
        case Mend.OPEN_FAULT:
            return " ('slackwater fault')"
        case Mend.SEE_TESTS:
            return " ('slackwater test list' names them)"
        case Mend.BLANK_SHEET:
            return "; 'slackwater log --sheet css' prints a blank sheet"
        case Mend.HEALTH_ON:
            return " (config set health true)"
        case Mend.HEALTH_ON_IF_AGREED:
            return ", or switch it on with 'slackwater config set health true' if the swimmer has agreed"
        case Mend.HEALTH_ON_TO_CHANGE:
            return ", or switch it on with 'slackwater config set health true' to change it"
        case Mend.NEW_CONSENT:
            return " (a new consent: 'slackwater swimmer consent NAME add --for record')"
        case Mend.BY_GUARDIAN:
            return " (--by guardian)"
        case Mend.EDIT_SWIMMER:
            return "; mend it with 'swimmer edit'"
        case Mend.CORRECT:
            return " ('slackwater swim edit', 'swimmer edit' and the like)"
        case Mend.ERASE:
            return " ('slackwater swimmer erase')"
        case Mend.WITH_HEALTH:
            return "; it is made with them by --health"
        case Mend.NAME_SWIMMER:
            return "; say --swimmer NAME"
        case Mend.NAME_TEST:
            return (
                "; say which with --test (such as --test t400), or name the columns with --map "
                "(see 'import --help')"
            )
        case Mend.NAME_COURSE:
            return "; if that is wrong, say --course"
        case Mend.MAP_COLUMNS:
            return "; name the columns with --map (see 'slackwater import --help')"
        case Mend.OR_MAP_COLUMNS:
            return ", or name the columns with --map (see 'slackwater import --help')"
        case Mend.SAY_DATE_ORDER:
            return " (a file's order is named by --date-format dmy or mdy)"
        case Mend.MORE_ROWS:
            return "; raise the limit with --max-rows"
        case Mend.OR_MORE_ROWS:
            return ", or raise the limit with --max-rows"
        case Mend.MORE_MEGABYTES:
            return ", raise it with --max-size"
        case Mend.MORE_UNPACKED:
            return "; raise it with --max-size"
        case Mend.REPLACE:
            return "; --force replaces it"
        case Mend.EMPTY_FOLDER:
            return "; give --to a new or empty folder"
        case Mend.SCAN_ANEW:
            return ", or use scan --anew, which keeps none"
        case Mend.CHECK:
            return "; run 'slackwater check'"
        case Mend.CHECK_OR_RESTORE:
            return "; run 'slackwater check', or restore a backup"
        case Mend.CHECK_A_FILE:
            return "; 'check' is for files"
        case Mend.MAKE_PRIVATE:
            return "; 'slackwater check --fix' makes it yours alone"
        case Mend.NAME_DATABASE:
            return ", or give --db"
        case Mend.LOOK_IN_HISTORY:
            return "; look with 'slackwater history' whether it is there, before you try again"
        case Mend.SEE_GROUPS:
            return " ('slackwater coach list')"
        case Mend.ASK_FOR_LOGIN:
            return "; ask its keeper for 'slackwater coach add'"
        case other:
            assert_never(other)


COMMAND_LINE: Final = Wording(remedy_words, field_of, flag_of)
"""How the command line words what is left open below it."""
