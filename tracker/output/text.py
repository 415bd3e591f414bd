"""The roster as plain text: aligned columns on a terminal, one record a line elsewhere."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain

from tracker.faults.roster_line import RosterLine
from tracker.output.cells import cells, fit
from tracker.output.due_words import short_due
from tracker.output.link_words import short_link
from tracker.output.numbers import day, sure
from tracker.output.wording import has_rate, mark, word
from tracker.records.text import clean_line
from tracker.verdict.verdict import Verdict

HEADER = ("swimmer", "group", "verdict", "since", "sure", "% a month", "left uncorrected", "due")
NARROWEST_NAME = 16


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
    return "".join(row + "\n" for row in table_lines(roster_rows(lines, as_of), width))


def table_lines(rows: Iterable[Sequence[str]], width: int | None = None) -> Iterator[str]:
    """Yield the header line and a line a row, as `roster_text`; off a terminal none waits for the next."""
    if width is None:
        yield from ("\t".join(row) for row in chain([HEADER], rows))
    else:
        yield from (line.rstrip() for line in _aligned([HEADER, *rows], width))


def _aligned(rows: Sequence[Sequence[str]], width: int) -> list[str]:
    """Return rows in columns two blanks apart; too wide a table loses columns, then cells are cut."""
    columns = list(range(len(HEADER)))
    widths = [max(cells(row[i]) for row in rows) for i in columns]
    for spare in (1, 4, 5, 7, 3):
        if _total(widths, columns) - max(0, widths[0] - NARROWEST_NAME) <= width:
            break
        columns.remove(spare)
    for i in (6, 0):
        if i in columns:
            floor = NARROWEST_NAME if i == 0 else 8
            widths[i] = max(min(floor, widths[i]), widths[i] - max(0, _total(widths, columns) - width))
    return [fit("  ".join(fit(row[i], widths[i], pad=True) for i in columns), width) for row in rows]


def _total(widths: Sequence[int], columns: Sequence[int]) -> int:
    return sum(widths[i] for i in columns) + 2 * (len(columns) - 1)
