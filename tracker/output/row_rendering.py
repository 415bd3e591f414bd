"""Render one row of the roster; loads all that judging and wording need."""

from __future__ import annotations

import datetime as dt

from tracker.engine.verdict.false_plateaus import plateau_chance
from tracker.output.as_json import line_json
from tracker.output.json_text import json_text
from tracker.output.rendered_row import RenderedRow
from tracker.output.sentences.verdict import word
from tracker.output.text import roster_row
from tracker.technique.attention import RosterLine


def render_row(line: RosterLine, as_of: dt.date) -> RenderedRow:
    """Return the rendered row of a roster line.

    Parameters
    ----------
    as_of
        The day of the scan.
    """
    return RenderedRow(
        line.swimmer,
        line.attention.rank,
        str(word(line)),
        line.new,
        tuple(ground.value for ground in line.attention.grounds),
        next(iter(plateau_chance(line.verdict)), None),
        "\t".join(roster_row(line, as_of)),
        json_text(line_json(line, as_of), depth=2),
    )
