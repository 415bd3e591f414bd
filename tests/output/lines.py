"""Roster lines for the tests of pages, tables and JSON."""

from __future__ import annotations

import datetime as dt

from tests.output.cases import LINK, PLATEAU
from tracker.engine.verdict.verdict import Verdict
from tracker.technique.attention import Attention, RosterLine
from tracker.technique.due import Due
from tracker.technique.link import Link

DUE = Due(dt.date(2026, 7, 5), dt.date(2026, 6, 20))


def line_of(
    verdict: Verdict | None = PLATEAU,
    link: Link | None = LINK,
    *,
    name: str = "Ines Aalto",
    group: str = "morning",
) -> RosterLine:
    """Return a roster line whose every flat stretch has the same link."""
    stretches = len(verdict.flat_stretches) if verdict else 0
    links = (link,) * stretches if link else ()
    return RosterLine(
        swimmer=name,
        group=group,
        age=None,
        verdict=verdict,
        link=link,
        stretch_links=links,
        due=DUE,
        attention=Attention(("plateau with an open fault",), new=True),
    )


UNTESTED = line_of(None, None, name="Pia Lund")
