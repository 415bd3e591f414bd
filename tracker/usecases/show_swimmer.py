"""One swimmer's record and how much is kept of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tracker.records.base import Record
from tracker.records.event import Event, Load
from tracker.records.fault import FaultStep
from tracker.records.review import ReviewItem
from tracker.records.swim import Swim
from tracker.records.swimmer import Choice, Consent, Swimmer
from tracker.records.work import Work
from tracker.store.database import Store

KINDS: Mapping[str, type[Record]] = {
    "swims": Swim,
    "review items": ReviewItem,
    "fault steps": FaultStep,
    "cues and drills": Work,
    "events": Event,
    "weeks of load": Load,
    "consents": Consent,
    "choices": Choice,
}


@dataclass(frozen=True)
class Shown:
    """A swimmer and how many records of each kind name them."""

    swimmer: Swimmer
    counts: Mapping[str, int]


def show_swimmer(store: Store, name: str) -> Shown:
    """Return one swimmer's record.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    with store.read() as reader:
        swimmer = reader.swimmer(name).record
        counts = {what: reader.count(kind, swimmer=swimmer.swimmer) for what, kind in KINDS.items()}
    return Shown(swimmer, counts)
