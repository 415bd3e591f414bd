"""The version of the tables that this program knows."""

from __future__ import annotations

from tracker.errors import BadFileError

SCHEMA = 5
"""Version of the tables; a migration raises it."""


def refuse_later(version: int, place: str) -> None:
    """Refuse a database that a later version of the program made; nothing is changed.

    Raises
    ------
    BadFileError
        If its tables are of a version that is not known here.
    """
    if version > SCHEMA:
        raise BadFileError(
            f"{place} was made by a later slackwater (tables {version}, this one knows {SCHEMA}); update it"
        )
