"""Glyphs of a text on paper: its letters where a font face has them, a box for each that none has.

A letter with its marks is set from one face, so a face must have them all; marks that the face of their
letter lacks are missing too.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Final

from tracker.output.fonts import EXTRA_COMMAND, absent_scripts, coverage

BOX: Final = "\N{WHITE SQUARE}"
"""Unicode's code charts: "may be used to represent a missing ideograph"."""
MOST_NAMED: Final = 5

_WITHOUT_INK: Final = frozenset({"Zs", "Zl", "Zp", "Cc"})
_MARKS: Final = frozenset({"Mn", "Mc", "Me"})
_VISIBLE_FORMATS: Final = ("ARABIC ", "SYRIAC ", "KAITHI ", "EGYPTIAN ", "INTERLINEAR ")
"""Format characters with ink; all others say how their neighbours are set."""
_DIRECTION: Final = "\N{ARABIC LETTER MARK}"
_UNSEEN: Final = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u180b\u180c\u180d\u180f\u3164\uffa0")
"""Default ignorable code points (Unicode, DerivedCoreProperties) that are no format character or selector."""


def on_paper(text: str) -> str:
    """Return `text` as it is set: `BOX` for a letter that no face has."""
    return _whole(text)[0]


def missing_glyphs(texts: Iterable[str]) -> tuple[str, ...]:
    """Return the characters of `texts` that no face can show, each once, in order of appearance."""
    return tuple(dict.fromkeys(letter for text in texts for letter in _whole(text)[1]))


def boxes_remark(letters: Iterable[str]) -> str:
    """Return which letters are boxes on paper and how to mend it, as a clause."""
    missing = tuple(letters)
    said = f"drawn as a box in the PDF, for no font at hand has it: {_named(missing)}"
    absent = absent_scripts()
    brought = tuple(one for one in missing if absent and unicodedata.name(one, "").startswith(absent))
    if not brought:
        return f"{said}; the formats txt and html keep it"
    return f"{said}; {EXTRA_COMMAND} brings {'it' if brought == missing else _named(brought)}"


def _named(letters: tuple[str, ...]) -> str:
    more = f" and {len(letters) - MOST_NAMED} more" if len(letters) > MOST_NAMED else ""
    return ", ".join(f"{_shown(one)}U+{ord(one):04X}" for one in letters[:MOST_NAMED]) + more


def _shown(letter: str) -> str:
    """Return the letter itself before its code, where a terminal can show it."""
    return "" if unicodedata.category(letter) in {"Co", "Cn", "Cs", "Cc"} else f"{letter} "


def _whole(text: str) -> tuple[str, tuple[str, ...]]:
    """Return what is set for a text, and its letters that no face can show.

    A text of nothing but joiners and selectors is a box: a heading can't be empty, and no letter is lost.
    """
    if text.isascii():
        return text, ()
    parts = [_set(cluster) for cluster in _clusters(text)]
    whole = "".join(part for part, _ in parts)
    if text.strip() and not whole.strip():
        return BOX, ()
    return whole, tuple(letter for _, missing in parts for letter in missing)


def _clusters(text: str) -> Iterator[str]:
    """Yield each letter with the marks, joiners and selectors after it."""
    begin = 0
    for place in range(1, len(text)):
        if not (unicodedata.category(text[place]) in _MARKS or _unseen(text[place])):
            yield text[begin:place]
            begin = place
    if text:
        yield text[begin:]


def _unseen(letter: str) -> bool:
    """Return whether a letter has no ink and no width of its own."""
    if unicodedata.category(letter) == "Cf":
        return letter == _DIRECTION or not unicodedata.name(letter, "").startswith(_VISIBLE_FORMATS)
    return letter in _UNSEEN or "\ufe00" <= letter <= "\ufe0f" or "\U000e0100" <= letter <= "\U000e01ef"


@lru_cache(maxsize=8192)
def _set(cluster: str) -> tuple[str, tuple[str, ...]]:
    """Return what is set for a cluster, and which letters of it no face can show."""
    seen = "".join(letter for letter in cluster if not _unseen(letter))
    for has in coverage().values():
        if seen and all(ord(letter) in has for letter in seen):
            return (seen if _is_sign(seen[0]) else _joined(cluster, has)), ()
    if not seen or unicodedata.category(seen[0]) in _WITHOUT_INK:
        return " " * len(seen), ()
    set_as = ""
    has = _face_of(seen[0])
    for letter in seen:
        fits = ord(letter) in has
        set_as += letter if fits else BOX
        has = has if fits else _face_of(BOX)
    return set_as, tuple(real for real, now in zip(seen, set_as, strict=True) if real != now)


def _face_of(letter: str) -> frozenset[int]:
    """Return what the first face with this letter can show; nothing where none has it."""
    return next((has for has in coverage().values() if ord(letter) in has), frozenset())


def _joined(cluster: str, has: frozenset[int]) -> str:
    return "".join(letter for letter in cluster if ord(letter) in has)


def _is_sign(letter: str) -> bool:
    """Return whether a joiner after it would ask for one picture of several, which no face here has."""
    return unicodedata.category(letter) in {"So", "Sm", "Po"}
