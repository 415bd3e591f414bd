"""Every fault of the roster that is open, back, in work, parked or lately corrected, and for how long."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.faults.life import Spell, spells
from tracker.faults.link import State
from tracker.pipeline import by_swimmer
from tracker.records.fault import FaultStep
from tracker.records.swimmer import Swimmer
from tracker.records.work import Work
from tracker.store.database import Store

ORDER: tuple[State, ...] = ("back", "open", "in work", "said to be corrected", "parked", "corrected")
"""What waits for somebody comes first."""
LATELY_DAYS = 180


@dataclass(frozen=True)
class FaultInHand:
    """One fault of one swimmer as it is now.

    Attributes
    ----------
    since
        The day from which it has been in `state`.
    days
        From then to the day asked about.
    in_use
        Cues and drills tied to it that go on.
    reason
        The note of the step that led to this state: for a parked one why it was left.
    """

    swimmer: str
    group: str
    fault: str
    side: str
    state: State
    severity: int | None
    since: dt.date
    days: int
    in_use: tuple[str, ...]
    reason: str


def faults_in_hand(store: Store, *, as_of: dt.date) -> list[FaultInHand]:
    """Return them: what came back first, then open, in work and so on; the longest first in each."""
    with store.read() as reader:
        people = {kept.record.swimmer: kept.record for kept in reader.all(Swimmer)}
        steps = by_swimmer(kept.record for kept in reader.all(FaultStep))
        work = by_swimmer(kept.record for kept in reader.all(Work))
    found = [
        _in_hand(people[name], spell, work.get(name, []), as_of)
        for name, own in steps.items()
        if name in people and people[name].archived is None
        for spell in spells(own, as_of)
        if spell.ends is None
    ]
    wanted = [one for one in found if one.state != "corrected" or one.days <= LATELY_DAYS]
    return sorted(wanted, key=lambda one: (ORDER.index(one.state), -one.days, one.swimmer, one.fault))


def _in_hand(who: Swimmer, spell: Spell, work: list[Work], as_of: dt.date) -> FaultInHand:
    in_use = tuple(
        f"{one.kind} {one.text}"
        for one in work
        if one.fault == spell.fault
        and one.from_date <= as_of
        and (one.to_date is None or one.to_date >= as_of)
    )
    return FaultInHand(
        who.swimmer,
        who.group,
        spell.fault,
        spell.side,
        spell.state,
        spell.severity,
        spell.begins,
        (as_of - spell.begins).days,
        in_use,
        spell.note,
    )
