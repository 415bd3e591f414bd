"""The actions of the screens, each with the command that does the same.

Every binding with an id stands in one of the two tables; a test compares them with the keys of
the screens and the commands of the command line.
"""

from __future__ import annotations

COMMAND_OF: dict[str, str] = {
    "undo": "undo",
    "redo": "redo",
    "log-test": "log",
    "log-squad": "log --table",
    "log-review": "review",
    "fault-step": "fault",
    "work": "cue start",
    "log-event": "event",
    "log-load": "load",
    "consent": "swimmer consent",
    "add-swimmer": "swimmer add",
    "add-test": "test add",
    "add-fault": "fault --name",
    "edit-swimmer": "swimmer edit",
    "archive-swimmer": "swimmer archive",
    "board": "board",
    "month": "page --month",
    "calendar": "calendar",
    "make-pages": "page --all",
    "import": "import",
    "history": "history",
    "settings": "config set",
    "swims": "swims",
    "delete-swim": "swim delete",
    "swim-aside": "swim aside",
    "swim-keep": "swim keep",
    "why": "why",
    "next": "next",
    "mark-seen": "seen",
    "choose": "next --choose",
    "draw": "next --stagger",
    "effects": "effects",
    "demo": "demo",
    "accept": "log --accept-implausible",
}
"""Binding id -> the command that does the same."""

SCREEN_ONLY = frozenset(
    {"quit", "keys", "back", "filter", "next-group", "steps", "save", "clear-form", "copy", "strokes"}
)
"""Moving about, typing and looking: there is nothing to do the same as."""
