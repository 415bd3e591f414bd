"""Text that a spreadsheet would run as a formula gets one leading apostrophe, and loses it again.

Sources: OWASP, CSV Injection (also TAB, CR, LF and full-width signs); CWE-1236. The apostrophe
itself counts as a sign, so that the rule is reversible.
"""

from __future__ import annotations

_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠", "'")


def guarded(text: str) -> str:
    """Return text as it may stand in a cell."""
    return f"'{text}" if text.startswith(_SIGNS) else text


def unguarded(text: str) -> str:
    """Return the text that `guarded` was given."""
    return text[1:] if text.startswith("'") else text
