"""Which cue and drill to offer against a fault, and what in use to stop."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from tracker.model.catalogue import Fault, catalogue
from tracker.model.vocabularies import WorkKind
from tracker.model.work import Work
from tracker.technique.cautions import can_feed, in_use
from tracker.technique.fault_timeline import CLOSED, FaultTimeline
from tracker.technique.held_back import lacks_air
from tracker.technique.ranking import LONG_WEEKS, Ranked


@dataclass(frozen=True)
class ToStop:
    """A cue or drill in use that can bring about or feed an uncorrected fault."""

    kind: WorkKind
    text: str
    fault: str


def to_stop(one: Ranked, work: Sequence[Work], others: Sequence[Fault], as_of: dt.date) -> tuple[ToStop, ...]:
    """Return what is in use and feeds this fault, and what is in use against it and feeds another."""
    found = []
    for running in work:
        mine = running.fault == one.timeline.fault
        entries = [*([one.entry] if one.entry else []), *(others if mine else [])]
        fed = next((entry.slug for entry in entries if can_feed(entry, running.kind, running.text)), None)
        if fed is not None and in_use(running, as_of):
            found.append(ToStop(running.kind, running.text, fed))
    return tuple(found)


@dataclass(frozen=True)
class NotOffered:
    """A cue or drill of one's own in use that the tool doesn't say again: it goes without air."""

    kind: WorkKind
    text: str


def not_offered(one: Ranked, work: Sequence[Work], as_of: dt.date) -> tuple[NotOffered, ...]:
    """Return what is in use against this fault and isn't said again."""
    return tuple(
        NotOffered(w.kind, w.text)
        for w in work
        if w.fault == one.timeline.fault and in_use(w, as_of) and not may_be_said_again(w.text)
    )


def may_be_said_again(text: str) -> bool:
    """Return whether a cue or drill may be proposed: of one's own, none that goes without air."""
    return text in _catalogue_words() or not lacks_air(text)


@cache
def _catalogue_words() -> frozenset[str]:
    return frozenset(text for entry in catalogue() for text in (*entry.cues, *entry.drills))


def others_uncorrected(
    one: Ranked, timelines: Sequence[FaultTimeline], catalogue: Mapping[str, Fault], as_of: dt.date
) -> list[Fault]:
    """Return the catalogue's entries of the other uncorrected faults of this swimmer."""
    return [
        entry
        for timeline in timelines
        if timeline.fault != one.timeline.fault
        and (entry := catalogue.get(timeline.fault)) is not None
        and (moment := timeline.on(as_of)) is not None
        and moment.state not in CLOSED
    ]


def pick(
    kind: WorkKind,
    one: Ranked,
    work: Sequence[Work],
    allowed: Callable[[str], bool],
    others: Sequence[Fault],
    as_of: dt.date,
) -> str:
    """Return what is in use and not worn out, else the first offer not tried yet, else the first.

    Nothing is offered that can bring about or feed one of the `others`.
    """
    mine = [w for w in work if w.kind == kind and w.fault == one.timeline.fault]
    worn = as_of - dt.timedelta(weeks=LONG_WEEKS)
    going = [w.text for w in mine if in_use(w, as_of) and w.from_date > worn and allowed(w.text)]
    if going:
        return going[-1]
    offered = () if one.entry is None else one.entry.cues if kind is WorkKind.CUE else one.entry.drills
    tried = {w.text.casefold() for w in mine}
    free = [t for t in offered if allowed(t) and not any(can_feed(other, kind, t) for other in others)]
    return next(iter([*(text for text in free if text.casefold() not in tried), *free]), "")
