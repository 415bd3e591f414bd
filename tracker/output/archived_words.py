"""What is said where something was logged for somebody who is off the roster."""

from __future__ import annotations

from shlex import quote

from tracker.records.swimmer import Swimmer


def archived_note(who: Swimmer) -> str:
    """Return that an archived swimmer's entry was made all the same, and how to take them back."""
    return (
        f"{who.swimmer} is archived, since {who.archived}, and off the roster; logged all the same. "
        f"To take them back: slackwater swimmer archive {quote(who.swimmer)} --back"
    )
