"""Grade a swimmer's present link in full: the roster's word and the swimmer's own, each with its numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from tracker.faults.evidence import Own, Roster, graded
from tracker.faults.life import Life
from tracker.faults.roster_line import RosterLine
from tracker.faults.stroke_reading import read_strokes, stroked
from tracker.records.catalogue import Fault
from tracker.records.swim import Swim
from tracker.records.work import Work


@dataclass(frozen=True)
class OwnRecord:
    """What one swimmer's own record bears on the link."""

    lives: Sequence[Life]
    work: Sequence[Work]
    swims: Sequence[Swim]


def grade_link(
    line: RosterLine, own: OwnRecord, catalogue: Mapping[str, Fault], weighed: Mapping[str, Roster]
) -> RosterLine:
    """Return `line` with the grounds of its present link; as it is where there is no plateau."""
    stretch = line.verdict.present_stretch if line.verdict else None
    if line.link is None or stretch is None:
        return line
    fault = line.link.fault or ""
    strokes = read_strokes(stretch, [stroked(swim) for swim in own.swims])
    said = Own(own.lives, own.work, strokes)
    link = graded(line.link, stretch, catalogue.get(fault), said, weighed.get(fault, Roster()))
    return replace(line, link=link)
