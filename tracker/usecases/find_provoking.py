"""Whether a cue in use can have brought about a fault that was just opened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tracker.faults.provoked import provoking
from tracker.records.catalogue import full_catalogue
from tracker.records.fault import FaultStep, OwnFault
from tracker.records.work import Work
from tracker.store.database import Store


@dataclass(frozen=True)
class Provoked:
    """A fault's opening and a cue that was in use on that day and can provoke it."""

    step: FaultStep
    cue: Work


def find_provoking(store: Store, steps: Sequence[FaultStep]) -> tuple[Provoked, ...]:
    """Return the cues for every step that opens a fault or brings it back."""
    opened = [step for step in steps if step.step in {"open", "back"}]
    if not opened:
        return ()
    with store.read() as reader:
        work = [kept.record for kept in reader.all(Work, swimmer=opened[0].swimmer)]
        entries = {e.slug: e for e in full_catalogue(kept.record for kept in reader.all(OwnFault))}
    return tuple(
        Provoked(step, cue)
        for step in opened
        if step.fault in entries
        for cue in provoking(entries[step.fault], work, step.date)
    )
