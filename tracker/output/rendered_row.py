"""A line of the roster as it is told: its row, its JSON, and what is counted over all lines.

Values only: whoever prints lines that were kept needs nothing of what words them.
"""

from __future__ import annotations

from typing import NamedTuple


class RenderedRow(NamedTuple):
    """One swimmer of a roster, in words.

    Attributes
    ----------
    rank
        Smaller is more in need of a look; then by label.
    word
        The verdict's; "no tests" without one.
    new, grounds
        Whether nobody has seen this verdict yet, and why a look is needed, most pressing first.
    flat
        The probability of a plateau that was called one; None for anything else.
    row
        The cells of the table, tabs between.
    json
        The swimmer's object in the scan's JSON, as it stands on level 2.
    """

    swimmer: str
    rank: tuple[int, int]
    word: str
    new: bool
    grounds: tuple[str, ...]
    flat: float | None
    row: str
    json: str

    @property
    def need(self) -> tuple[tuple[int, int], str]:
        """Sort key: most in need of a look first, then by label."""
        return self.rank, self.swimmer
