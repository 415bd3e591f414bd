"""Text that people type: what is accepted, what looks alike, what a spreadsheet would run.

The refused characters can steer a terminal (control characters, CWE-150) or reorder what
is read (bidirectional controls). ZWJ and ZWNJ stay: Persian, Indic and emoji need them.

Sources: OWASP, CSV Injection (also TAB, CR, LF and full-width signs); CWE-1236. The apostrophe
itself counts as a sign, so that the rule is reversible.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

NAME_LIMIT = 200
NOTE_LIMIT = 10_000
REPLACEMENT = "\N{REPLACEMENT CHARACTER}"

# C0, DEL, C1, line and paragraph separators, bidi embeddings and isolates, BOM, lone surrogates.
_HARMFUL = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ud800-\udfff]")
_HARMFUL_IN_NOTE = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ud800-\udfff]"
)


def clean_line(text: str) -> str:
    """Return `text` as one harmless NFC line, each harmful character replaced by U+FFFD."""
    if text.isascii() and text.isprintable():  # most cells of a big table
        return text
    return unicodedata.normalize("NFC", _HARMFUL.sub(REPLACEMENT, text))


def clean_note(text: str) -> str:
    """Return `text` harmless and NFC, with its line breaks and tabs."""
    return unicodedata.normalize("NFC", _HARMFUL_IN_NOTE.sub(REPLACEMENT, text.replace("\r\n", "\n")))


def checked_line(text: str) -> str:
    """Return `text` in NFC without outer blanks.

    Raises
    ------
    ValueError
        If it holds a control or bidirectional character, or is longer than `NAME_LIMIT`.
    """
    if _HARMFUL.search(text):
        raise ValueError("holds a control character; type it again without")
    text = unicodedata.normalize("NFC", text).strip()
    if len(text) > NAME_LIMIT:
        raise ValueError(f"is longer than {NAME_LIMIT} characters; shorten it")
    return text


def checked_note(text: str) -> str:
    """Return `text` in NFC, line breaks and tabs allowed.

    Raises
    ------
    ValueError
        If it holds another control character, or is longer than `NOTE_LIMIT`.
    """
    if _HARMFUL_IN_NOTE.search(text):
        raise ValueError("holds a control character; type it again without")
    text = unicodedata.normalize("NFC", text)
    if len(text) > NOTE_LIMIT:
        raise ValueError(f"is longer than {NOTE_LIMIT} characters; shorten it")
    return text


def name_key(name: str) -> str:
    """Return the form under which two names count as the same spelling (NFKC, case folded)."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


_STROKED = str.maketrans(
    {"ø": "o", "đ": "d", "ð": "d", "ł": "l", "ħ": "h", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th"}
)
"""Latin letters that do not fall into a letter and a mark."""
_APOSTROPHES = str.maketrans("", "", "'\N{RIGHT SINGLE QUOTATION MARK}\N{MODIFIER LETTER APOSTROPHE}`")


class _Unmarked(dict[int, int | None]):
    """A table for `str.translate` that takes combining marks away, filled as letters are met."""

    def __missing__(self, letter: int) -> int | None:
        found = None if unicodedata.combining(chr(letter)) else letter
        return self.setdefault(letter, found)


_UNMARKED = _Unmarked()


def unaccented(text: str) -> str:
    """Return `text` in small letters without accents and strokes ("Sørlie" is "sorlie")."""
    if text.isascii():
        return text.lower()
    small = unicodedata.normalize("NFKD", text).casefold().translate(_STROKED)
    return unicodedata.normalize("NFKD", small).translate(_UNMARKED)


def folded(text: str) -> str:
    """Return `text` as names are looked up: without case, accents, apostrophes and spare blanks."""
    return " ".join(unaccented(text).translate(_APOSTROPHES).split())


def fits(typed: str, text: str) -> bool:
    """Return whether `typed` stands somewhere in `text`, or each of its words begins a word there.

    Letters are compared as `folded` has them. A full name that is off by a letter does not fit.
    """
    return _stands_in(folded(typed), folded(text))


def _stands_in(typed: str, there: str) -> bool:
    if typed in there:
        return True
    words = typed.split()
    begins = f" {there.replace('-', ' ')}"
    return len(words) > 1 and all(f" {word}" in begins for word in words)


def fitting(typed: str, labels: Iterable[str]) -> tuple[str, ...]:
    """Return the labels that a typed name may mean: the exact one, else those spelt alike, else by any part.

    More than one means that a person has to say which.
    """
    labels = list(labels)
    if typed in labels:
        return (typed,)
    sought = folded(typed)
    if not sought:
        return ()
    parts = [(there, label) for label in labels if _stands_in(sought, there := folded(label))]
    alike = tuple(label for there, label in parts if there == sought)
    return alike or tuple(label for _, label in parts)


# Cyrillic and Greek letters that look like Latin ones (Unicode TR 39 confusables, the usual few).
_LOOKS = str.maketrans("аеорсухіјѕԁһқԝмнктв" + "αορνικτυχ", "aeopcyxijsdhqwmhktb" + "aopviktux")


def confusable_key(name: str) -> str:
    """Return a name without case, accents, script and spacing: equal for names that look alike."""
    plain = unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", name).casefold())
    bare = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return " ".join(bare.translate(_LOOKS).replace("-", " ").split())


_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", "'")


def guarded(text: str) -> str:
    """Return text as it may stand in a cell."""
    return f"'{text}" if text.startswith(_SIGNS) else text


def unguarded(text: str) -> str:
    """Return the text that `guarded` was given."""
    return text[1:] if text.startswith("'") else text
