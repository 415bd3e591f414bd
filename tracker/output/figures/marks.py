"""Short marks on the time axis, put into lanes so that no text covers another."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from tracker.output.figures.drawing import shortened, text_mm

MOST_LANES: Final = 3
LONGEST_CELLS: Final = 34


@dataclass(frozen=True)
class Mark:
    """Something dated, in a few words; `ends` is None for a moment."""

    begins: dt.date
    ends: dt.date | None
    text: str


def lanes(
    marks: Sequence[Mark], first: dt.date, last: dt.date, width_mm: float
) -> list[tuple[Mark, int, bool]]:
    """Return each mark with its lane and whether its text stands to its left.

    Marks outside [first, last] are left out, and so are those that would need more than
    `MOST_LANES`: the page names them in words.
    """
    per_day = width_mm / max(1, (last - first).days)
    spans: list[list[tuple[float, float]]] = [[] for _ in range(MOST_LANES)]
    placed: list[tuple[Mark, int, bool]] = []
    for mark in sorted(marks, key=lambda mark: (mark.begins, mark.text)):
        if mark.begins > last or (mark.ends or mark.begins) < first:
            continue
        short = Mark(mark.begins, mark.ends, shortened(mark.text, LONGEST_CELLS))
        begins = max(0.0, (mark.begins - first).days * per_day)
        ends = begins if mark.ends is None else min(width_mm, (mark.ends - first).days * per_day)
        words = text_mm(short.text) + 2.5
        to_left = ends + words > width_mm
        low, high = (begins - words, ends) if to_left else (begins, ends + words)
        for lane, others in enumerate(spans):
            if all(high < other_low or low > other_high for other_low, other_high in others):
                others.append((low, high))
                placed.append((short, lane, to_left))
                break
    return placed
