"""The JSON schema of a club's lines."""

from __future__ import annotations

from tests.output.club_schema import COMMITTED, club_schema


def test_the_committed_schema_is_that_of_the_records() -> None:
    assert COMMITTED.read_text() == club_schema(), "python -m tests.output.club_schema writes it anew"
