"""File names of pages: safe for any name, unique to each swimmer."""

from __future__ import annotations

import datetime as dt

from tracker.model.text import unaccented

LONGEST = 80
"""Bytes of a slug; with number, month and ending a file name stays under 120."""


def slug(name: str) -> str:
    """Return `name` in small ASCII letters, digits and hyphens; may be empty."""
    letters = "".join(letter if letter.isascii() and letter.isalnum() else "-" for letter in unaccented(name))
    return "-".join(part for part in letters.split("-") if part)[:LONGEST].rstrip("-")


def file_stem(number: int, name: str, month: dt.date, *, private: bool = False) -> str:
    """Return "12-ines-aalto-2026-06"; the number of the swimmer's row keeps it unique.

    In private mode, and for a name without Latin letters, the number stands alone.
    """
    words = "" if private else slug(name)
    return "-".join(part for part in (str(number), words, f"{month:%Y-%m}") if part)
