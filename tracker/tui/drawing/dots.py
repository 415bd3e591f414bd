"""Braille dots: eight to a cell, two across and four down (Unicode block U+2800)."""

from __future__ import annotations

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
