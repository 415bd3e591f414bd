"""Text that people type: what is accepted, what looks alike, what a spreadsheet would run.

The refused characters can steer a terminal (control characters, CWE-150) or reorder what
is read (bidirectional controls). ZWJ and ZWNJ stay: Persian, Indic and emoji need them.

Sources: OWASP, CSV Injection (also TAB, CR, LF and full-width signs); CWE-1236. The apostrophe
itself counts as a sign, so that the rule is reversible.
"""

from __future__ import annotations

import re
import unicodedata

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
