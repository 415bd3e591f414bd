"""What a look at the database found, in one sentence for the screens."""

from __future__ import annotations

from collections.abc import Sequence
from shlex import quote
from typing import Final

from tracker.output.numbers import listed

_WRONG: Final = {
    "file": "parts of its file are damaged",
    "header": "its mark or version is not what it should be",
    "tables": "its tables are not as slackwater made them",
}


def check_command(place: str) -> str:
    """Return the command that checks the database at a path, wherever it is typed."""
    return f"slackwater check --db {quote(place)}"


def trouble_sentence(places: Sequence[str], command: str) -> str:
    """Return what is wrong and what to type; "" where nothing is.

    Parameters
    ----------
    places
        Where something was found: "file", "header", "tables", or the path of what others can read.
    command
        The command that checks this database.
    """
    if not places:
        return ""
    wrong = dict.fromkeys(_WRONG.get(place, "others can read it") for place in places)
    return f"Something is wrong with this record: {listed(list(wrong))}. Leave (ctrl+q) and type: {command}"
