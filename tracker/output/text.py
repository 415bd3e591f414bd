"""The roster as plain text: its cells, and columns cut to the width of a terminal."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import TYPE_CHECKING, Final

from wcwidth import iter_graphemes, wcswidth

from tracker.model.text import clean_line
from tracker.output.sentences.due import short_due
from tracker.output.sentences.link import short_link
from tracker.output.sentences.numbers import MONTHS, day, listed, sure
from tracker.output.sentences.verdict import SHORT_ALWAYS_EASY, has_rate, mark, word

if TYPE_CHECKING:
    from tracker.technique.attention import RosterLine


def cells(text: str) -> int:
    """Return how many terminal cells `text` takes; it must hold no control character."""
    return len(text) if text.isascii() else max(0, wcswidth(text))


def fit(text: str, width: int, *, pad: bool = False) -> str:
    """Return `text` cut to `width` cells, "…" last where something is cut."""
    if cells(text) > width:
        kept = ""
        for cluster in iter_graphemes(text):
            if cells(kept + cluster) > width - 1:
                break
            kept += cluster
        text = f"{kept}…" if width > 0 else ""
    return text + " " * (width - cells(text)) if pad else text


HEADER: Final = ("swimmer", "group", "verdict", "since", "sure", "% a month", "left uncorrected", "due")
_TIGHT_HEADER: Final = (*HEADER[:5], "rate %", *HEADER[6:])
_NAME, _GROUP, _VERDICT, _SINCE, _SURE, _RATE, _FAULT, _DUE = range(len(HEADER))
_BY_USE: Final = (_NAME, _VERDICT, _SINCE, _RATE, _SURE, _FAULT, _DUE, _GROUP)
"""The columns, the most useful first: whatever still fits is shown, in the order of the header."""
_LEAST: Final = {_NAME: 16, _SINCE: 12, _FAULT: 12, _DUE: 6, _GROUP: 8}
"""Cells below which a column is not narrowed; one that is not named here keeps its widest cell whole."""
_GAP: Final = 2


@dataclass(frozen=True)
class RosterTable:
    """A roster ready to be printed.

    Attributes
    ----------
    lines
        The header line and a line a row; with no terminal each is made when it is asked for.
    left_out
        The names of the columns there was no room for.
    needed
        How many columns of a terminal hold all of them.
    """

    lines: Iterable[str]
    left_out: tuple[str, ...] = ()
    needed: int = 0


def roster_table(rows: Iterable[Sequence[str]], width: int | None = None) -> RosterTable:
    """Lay out rows whose cells are in the order of `HEADER`.

    Parameters
    ----------
    rows
        In the order they are to be shown.
    width
        Columns of the terminal; None where there is none: nothing is cut or padded, cells are
        separated by tabs.
    """
    if width is None:
        return RosterTable("\t".join(row) for row in chain([HEADER], rows))
    table = [HEADER, *rows]
    widths = _widest(table)
    if _total(widths.values()) <= width:
        return RosterTable(_aligned(table, widths, width))
    table = [_TIGHT_HEADER, *(_tight(row) for row in table[1:])]
    widths = _widest(table)
    least = {i: min(wide, _LEAST.get(i, wide)) for i, wide in widths.items()}
    shown = _that_fit(least, width)
    return RosterTable(
        _aligned(table, _narrowed({i: widths[i] for i in shown}, least, width), width),
        tuple(HEADER[i] for i in _BY_USE if i not in shown),
        _total(least.values()),
    )


def left_out_sentence(table: RosterTable, width: int | None) -> str:
    """Return which columns are not shown and what shows them; empty where all are."""
    if not table.left_out:
        return ""
    return (
        f"Not shown, for want of room in {width} columns: {listed(table.left_out)}. "
        f"A terminal of {table.needed} columns shows all; a file or a pipe always does."
    )


def _widest(rows: Sequence[Sequence[str]]) -> dict[int, int]:
    return {i: max(cells(row[i]) for row in rows) for i in range(len(HEADER))}


def _total(widths: Iterable[int]) -> int:
    each = list(widths)
    return sum(each) + _GAP * (len(each) - 1)


def _tight(row: Sequence[str]) -> tuple[str, ...]:
    """Return a row with its onset and its certainty short: "25 Nov 2025", "the start", ">99 %"."""
    since = "the start" if row[_SINCE].startswith("before ") else row[_SINCE]
    words = (word[:3] if word in MONTHS else word for word in since.split(" "))
    sure = row[_SURE].replace("over ", ">")
    return (*row[:_SINCE], " ".join(words), sure, *row[_SURE + 1 :])


def _that_fit(least: dict[int, int], width: int) -> list[int]:
    """Return the columns that fit, narrowed as far as may be; name and verdict always are shown."""
    shown: list[int] = []
    for i in _BY_USE:
        if i in {_NAME, _VERDICT} or _total(least[j] for j in (*shown, i)) <= width:
            shown.append(i)
    return sorted(shown)


def _narrowed(widths: dict[int, int], least: dict[int, int], width: int) -> dict[int, int]:
    """Return widths that come to `width` together; the least useful columns are narrowed first."""
    found = dict(widths)
    for i in reversed(_BY_USE):
        if i in found:
            found[i] = max(least[i], found[i] - max(0, _total(found.values()) - width))
    return found


def _aligned(rows: Sequence[Sequence[str]], widths: dict[int, int], width: int) -> Iterable[str]:
    gap = " " * _GAP
    padded = (gap.join(fit(row[i], cut, pad=True) for i, cut in widths.items()) for row in rows)
    return [fit(line, width).rstrip() for line in padded]


def roster_rows(lines: Sequence[RosterLine], as_of: dt.date) -> list[tuple[str, ...]]:
    """Return the cells of each line, in the order of `HEADER`."""
    return [roster_row(line, as_of) for line in lines]


def roster_row(line: RosterLine, as_of: dt.date) -> tuple[str, ...]:
    """Return the cells of one line."""
    return (
        clean_line(line.swimmer),
        clean_line(line.group),
        f"{mark(line.verdict)} {word(line)}",
        *_numbers(line, as_of),
        short_link(line.link),
        short_due(line.due, as_of),
    )


def _numbers(line: RosterLine, as_of: dt.date) -> tuple[str, str, str]:
    """Return since, sure and rate; blank where nothing is claimed, or why there is nothing to claim."""
    verdict = line.verdict
    if line.always_easy:
        return SHORT_ALWAYS_EASY, "", ""
    if verdict is None or not has_rate(verdict):
        return "", "", ""
    rate = f"{round(verdict.rate, 2) + 0.0:+.2f}"
    if verdict.p is None:
        return "", "", rate
    since = f"before {day(verdict.first, as_of)}" if verdict.before_record else day(verdict.since, as_of)
    return f"{since} (stale)" if verdict.stale else since, sure(verdict.p), rate


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
