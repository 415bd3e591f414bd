"""A line of the roster put into words, all at once, so that it can be printed or kept."""

from __future__ import annotations

import datetime as dt

from tracker.faults.roster_line import RosterLine
from tracker.output.as_json import line_json
from tracker.output.json_text import json_text
from tracker.output.text import roster_row
from tracker.output.told_line import ToldLine
from tracker.output.wording import word
from tracker.verdict.roster_error import flat_chance


def tell(line: RosterLine, as_of: dt.date, *, health: bool = False) -> ToldLine:
    """Return what is told of a line.

    Parameters
    ----------
    as_of
        The day of the scan.
    health
        Whether health events may be named.
    """
    return ToldLine(
        line.swimmer,
        line.attention.rank,
        word(line.verdict),
        line.new,
        line.attention.grounds,
        next(iter(flat_chance(line.verdict)), None),
        "\t".join(roster_row(line, as_of)),
        json_text(line_json(line, as_of, health=health), depth=2),
    )
