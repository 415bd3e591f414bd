"""The roster as plain text: the cells of each line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from tracker.faults.roster_line import RosterLine
from tracker.output.due_words import short_due
from tracker.output.link_words import short_link
from tracker.output.numbers import day, sure
from tracker.output.roster_table import roster_table
from tracker.output.wording import has_rate, mark, word
from tracker.records.text import clean_line
from tracker.verdict.verdict import Verdict


def roster_rows(lines: Sequence[RosterLine], as_of: dt.date) -> list[tuple[str, ...]]:
    """Return the cells of each line, in the order of `HEADER`."""
    return [roster_row(line, as_of) for line in lines]


def roster_row(line: RosterLine, as_of: dt.date) -> tuple[str, ...]:
    """Return the cells of one line."""
    return (
        clean_line(line.swimmer),
        clean_line(line.group),
        f"{mark(line.verdict)} {word(line.verdict)}",
        *_numbers(line.verdict, as_of),
        short_link(line.link),
        short_due(line.due, as_of),
    )


def _numbers(verdict: Verdict | None, as_of: dt.date) -> tuple[str, str, str]:
    """Return since, sure and rate; blank where nothing is claimed."""
    if verdict is None or not has_rate(verdict):
        return "", "", ""
    rate = f"{round(verdict.rate, 2) + 0.0:+.2f}"
    if verdict.verdict == "too early":
        return "", "", rate
    p = {
        "gaining": verdict.p_gaining,
        "plateau": verdict.p_flat,
        "slipping": verdict.p_slipping,
        "slowed": verdict.p_slowed,
    }[verdict.verdict]
    since = f"before {day(verdict.first, as_of)}" if verdict.before_record else day(verdict.since, as_of)
    return f"{since} (stale)" if verdict.stale else since, sure(p), rate


def roster_text(lines: Sequence[RosterLine], as_of: dt.date, width: int | None = None) -> str:
    """Return the roster with a header line.

    Parameters
    ----------
    lines
        In the order they are to be shown.
    as_of
        The day of the scan.
    width
        Columns of the terminal; None off a terminal: nothing is cut or padded, cells are
        separated by tabs.
    """
    return "".join(row + "\n" for row in roster_table(roster_rows(lines, as_of), width).lines)
