"""Cells of a terminal: styled runs by display width, and dots of braille.

Roles are words ("line", "open", "axis"); only a widget knows their colours.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from wcwidth import iter_graphemes, wcswidth

from tracker.model.text import clean_line

HATCH = "░"
"""Fills the empty cells of shaded columns, so that shading survives without colour."""


@dataclass(frozen=True)
class Run:
    """Neighbouring cells of one role, as one string."""

    text: str
    role: str
    shaded: bool


def width_of(text: str) -> int:
    """Return the number of cells that `text` takes."""
    return max(wcswidth(text), 0)


def fitted(text: str, width: int) -> str:
    """Return people's text cleaned and exactly `width` cells wide, cut with an ellipsis or padded."""
    text = clean_line(text)
    if width <= 0:
        return ""
    if width_of(text) <= width:
        return text + " " * (width - width_of(text))
    kept, used = "", 0
    for grapheme in iter_graphemes(text):
        size = width_of(grapheme)
        if used + size > width - 1:
            break
        kept, used = kept + grapheme, used + size
    return kept + "…" + " " * (width - 1 - used)


@dataclass
class Cells:
    """A mutable grid of `width` x `height` cells; (0, 0) is top left. Writing outside is ignored."""

    width: int
    height: int
    shaded: set[int] = field(default_factory=set)
    _cells: dict[tuple[int, int], tuple[str, str]] = field(default_factory=dict)

    def put(self, x: int, y: int, text: str, role: str) -> None:
        """Write `text` from (x, y) to the right, wide characters taking two cells."""
        for grapheme in iter_graphemes(text):
            size = width_of(grapheme)
            if size == 0:
                continue
            if 0 <= y < self.height and x >= 0 and x + size <= self.width:
                self._cells[x, y] = (grapheme, role)
                for extra in range(1, size):
                    self._cells[x + extra, y] = ("", role)
            x += size

    def role_at(self, x: int, y: int) -> str:
        """Return the role of a cell, "" where nothing is written."""
        return self._cells.get((x, y), ("", ""))[1]

    def is_free(self, x: int, y: int, length: int) -> bool:
        """Whether `length` cells from (x, y) are inside the grid and empty."""
        inside = x >= 0 and x + length <= self.width
        return inside and all((x + step, y) not in self._cells for step in range(length))

    def line(self, y: int, hatched: range) -> Iterator[Run]:
        """Yield row `y` as runs; empty shaded cells hold the hatch if `y` is in `hatched`."""
        text, role, shade = "", "", False
        for x in range(self.width):
            shaded = x in self.shaded and y in hatched
            char, its_role = self._cells.get((x, y), (HATCH, "hatch") if shaded else (" ", ""))
            if text and (its_role, shaded) != (role, shade):
                yield Run(text, role, shade)
                text = ""
            text, role, shade = text + char, its_role, shaded
        if text:
            yield Run(text, role, shade)


_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))


class Dots:
    """A set of dots over `columns` x `rows` cells; (0, 0) is the top left dot."""

    def __init__(self, columns: int, rows: int) -> None:
        self.width, self.height = 2 * columns, 4 * rows
        self._cells: dict[tuple[int, int], int] = {}

    def dot(self, x: int, y: int) -> None:
        """Set one dot; outside the grid nothing happens."""
        if 0 <= x < self.width and 0 <= y < self.height:
            key = (x // 2, y // 4)
            self._cells[key] = self._cells.get(key, 0) | _BITS[y % 4][x % 2]

    def join(self, left: tuple[float, float], right: tuple[float, float]) -> None:
        """Draw a straight line between two places given in dots."""
        (x0, y0), (x1, y1) = left, right
        steps = max(1, round(max(abs(x1 - x0), abs(y1 - y0))))
        for step in range(steps + 1):
            share = step / steps
            self.dot(round(x0 + share * (x1 - x0)), round(y0 + share * (y1 - y0)))

    def column(self, x: int, top: float, bottom: float) -> None:
        """Fill one column of dots from `top` to `bottom` sparsely, every second dot, like a light screen."""
        for y in range(max(0, round(top)), min(self.height - 1, round(bottom)) + 1):
            if (x + y) % 2 == 0:
                self.dot(x, y)

    def mask(self, column: int, row: int) -> int:
        """Return the eight bits of a cell, 0 where it is empty."""
        return self._cells.get((column, row), 0)


def braille(mask: int) -> str:
    """Return the character with these dots."""
    return chr(0x2800 + mask)
