"""How to mend what is wrong, on the screens: by their keys and fields.

A command is named only where no screen does the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from shlex import quote
from typing import Final, assert_never

from tracker.errors import SlackwaterError, remedy_of
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

KEYS: Final[Mapping[str, str]] = {
    "accept": "ctrl+y",
    "board": "w",
    "consent": "C",
    "edit-swimmer": "E",
    "fault-step": "f",
    "history": "H",
    "log-review": "r",
    "log-test": "t",
    "settings": "O",
    "swims": "v",
    "quit": "ctrl+q",
}
"""The keys that are named below, by their actions."""


def check_command(database: str) -> str:
    """Return the command that checks the database at a path, wherever it is typed."""
    return f"slackwater check --db {quote(database)}"


def failure_words(error: SlackwaterError | ValueError) -> str:
    """Return an error's one line as the screens say it."""
    if isinstance(error, SlackwaterError):
        return error.worded(SCREENS)
    return SCREENS.after(str(error), remedy_of(error))


def remedy_words(remedy: Remedy) -> str:
    """Return how to mend it, as the end of the sentence that says what is wrong; "" where a form shows it."""
    match remedy:
        case Mend():
            return _mend_words(remedy)
        case FillIn(fields):
            return f"; fill in {' and '.join(map(_spoken, fields))}"
        case ListThem(kind):
            return _list_words(kind)
        case SayClock(minutes, seconds):
            return f"; if {minutes} min {seconds} s is meant, write it there as text: {minutes}:{seconds}"
        case TakeBack(""):
            return "; the command 'slackwater swimmer archive NAME --back' takes them back"
        case TakeBack(swimmer):
            return f" To take them back: slackwater swimmer archive {quote(swimmer)} --back"
        case ApplyLevels():
            return f" Set them in the settings ({KEYS['settings']})."
        case other:
            assert_never(other)


def _list_words(kind: Named | Numbered) -> str:
    match kind:
        case Named.SWIMMER:
            return "; the roster names everybody"
        case Named.FAULT:
            return "; a part of a name is enough"
        case Named.AREA | Named.MEASURE:
            return f"; the form of a review ({KEYS['log-review']}) names them"
        case Named.TEST:
            return f"; the form of a test ({KEYS['log-test']}) names them"
        case Named.CUE | Named.DRILL | Numbered.FAULT_STEP | Numbered.WORK:
            return f"; the board of faults and work ({KEYS['board']}) shows them"
        case Numbered.SWIM:
            return f"; the list of swims ({KEYS['swims']}) shows them"
        case Numbered.REVIEW_ITEM | Numbered.EVENT | Numbered.LOAD:
            return f"; the history ({KEYS['history']}) shows what was changed"
        case other:
            assert_never(other)


def _mend_words(mend: Mend) -> str:  # noqa: C901, PLR0912, PLR0915 - a case a remedy
    match mend:
        case Mend.ACCEPT:
            return f". {KEYS['accept']} accepts it as it is."
        case Mend.SAY_SIDE:
            return "; say which: left or right"
        case Mend.ONE_ITEM_ALONE:
            return "; correct that item alone"
        case Mend.OPEN_FAULT:
            return f" ({KEYS['fault-step']})"
        case Mend.SEE_TESTS:
            return f" (the form of a test, {KEYS['log-test']}, names them)"
        case Mend.BLANK_SHEET:
            return "; a sheet has the columns swimmer and test, then the times"
        case Mend.HEALTH_ON:
            return f" (setting health, {KEYS['settings']})"
        case Mend.HEALTH_ON_IF_AGREED:
            return f", or switch it on in the settings ({KEYS['settings']}) if the swimmer has agreed"
        case Mend.HEALTH_ON_TO_CHANGE:
            return f", or switch it on in the settings ({KEYS['settings']}) to change it"
        case Mend.NEW_CONSENT:
            return f" (a new consent: {KEYS['consent']})"
        case Mend.BY_GUARDIAN:
            return " (given by: guardian)"
        case Mend.EDIT_SWIMMER:
            return f"; mend it with {KEYS['edit-swimmer']} on the swimmer's screen"
        case Mend.CORRECT:
            return f" (a swim: {KEYS['swims']}; who somebody is: {KEYS['edit-swimmer']})"
        case Mend.ERASE:
            return " ('slackwater swimmer erase')"
        case Mend.WITH_HEALTH:
            return f"; it is made with them where health is on in the settings ({KEYS['settings']})"
        case Mend.NAME_SWIMMER:
            return "; say it at 'whose swims'"
        case Mend.NAME_TEST:
            return "; say at 'test' which it was"
        case Mend.NAME_COURSE:
            return "; if that is wrong, say it at 'course'"
        case Mend.MAP_COLUMNS:
            return "; name the columns so in the file"
        case Mend.OR_MAP_COLUMNS:
            return ", or name the columns in the file as a club's files do"
        case Mend.SAY_DATE_ORDER:
            return " (or say at 'date order' how the file writes them)"
        case Mend.MORE_ROWS | Mend.MORE_MEGABYTES | Mend.MORE_UNPACKED:
            return "; part it into several files"
        case Mend.OR_MORE_ROWS:
            return ", or part it into several files"
        case Mend.REPLACE:
            return "; give another name, or remove it first"
        case Mend.EMPTY_FOLDER:
            return "; name a new or empty folder"
        case Mend.SCAN_ANEW:
            return ""
        case Mend.CHECK:
            return f"; leave ({KEYS['quit']}) and type: slackwater check"
        case Mend.CHECK_OR_RESTORE:
            return f"; leave ({KEYS['quit']}) and type: slackwater check, or restore a backup"
        case Mend.CHECK_A_FILE:
            return ""
        case Mend.MAKE_PRIVATE:
            return f"; leave ({KEYS['quit']}) and type: slackwater check --fix"
        case Mend.NAME_DATABASE:
            return ", or open another database"
        case Mend.LOOK_IN_HISTORY:
            return f"; look in the history ({KEYS['history']}) whether it is there, before you try again"
        case Mend.SEE_GROUPS:
            return "; ask its keeper which they are"
        case Mend.ASK_FOR_LOGIN:
            return "; ask its keeper for one"
        case other:
            assert_never(other)


def _spoken(field: str) -> str:
    return field.replace("_", " ")


SCREENS: Final = Wording(remedy_words, _spoken, _spoken)
"""How the screens word what is left open below them."""
