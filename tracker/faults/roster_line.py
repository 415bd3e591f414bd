"""One swimmer of a roster: what is said of them, and where they stand in the list.

Values only: whoever reads a kept line needs nothing of what works one out.
"""

from __future__ import annotations

from dataclasses import dataclass

from tracker.faults.attention import Attention
from tracker.faults.due import Due
from tracker.faults.link import Link
from tracker.series.left_out import LeftOut
from tracker.verdict.verdict import Verdict


@dataclass(frozen=True)
class RosterLine:
    """One swimmer of a roster; `verdict` is None without a usable test.

    `stretch_links` are parallel to `verdict.flat_stretches`.
    """

    swimmer: str
    group: str
    born: int | None
    verdict: Verdict | None
    link: Link | None
    stretch_links: tuple[Link, ...]
    due: Due
    attention: Attention
    left_out: tuple[LeftOut, ...] = ()

    @property
    def new(self) -> bool:
        """Whether nobody has marked this verdict as seen."""
        return self.attention.new


def need(line: RosterLine) -> tuple[tuple[int, int], str]:
    """Sort key: most in need of a look first, then by label."""
    return line.attention.rank, line.swimmer
