"""What the columns of other people's tables are called: English, German, French, Spanish, Italian, some more.

Each field of a record says its own (`About.headers`): common usage, from memory, without accents, for a
header may have them or not.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from tracker.model.about import fields_of
from tracker.model.club_layout import FILES
from tracker.model.text import clean_line, name_key

WORDS: Final[dict[str, str]] = {
    word: column
    for file in FILES
    for column, field in file.columns.items()
    for word in filter(None, fields_of(file.kind)[field].about.headers.split(", "))
}
"""Word, as `header_key` gives it -> our column."""

_UNIT = re.compile(r"\s*[(\[]\s*(?:m|metres?|meters?|s|secs?|seconds|mm?:ss?(?:\.\w+)?|h:mm:ss)\s*[)\]]$")


def header_key(text: str) -> str:
    """Return the name of a column without case, accents, and a unit that we have anyway ("Time (s)")."""
    folded = unicodedata.normalize("NFD", name_key(clean_line(text)))
    plain = "".join(letter for letter in folded if not unicodedata.combining(letter))
    return _UNIT.sub("", plain.rstrip(": ")).strip()


def header_said(header: tuple[str, ...]) -> str:
    """Return a header as it is quoted in a message."""
    said = ", ".join(clean_line(name).strip() for name in header)
    return repr(said if len(said) <= 80 else f"{said[:79]}…")
