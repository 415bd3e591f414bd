"""By swimmer, what changes whenever anything on record about them does."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import astuple
from hashlib import sha256

from tracker.records.event import Event, Load
from tracker.records.fault import FaultStep
from tracker.records.review import ReviewItem
from tracker.records.swim import Swim
from tracker.records.swimmer import Choice, Swimmer
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.crew import ALONE, Crew
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.weigh_roster import weigh_roster

KINDS = (Swimmer, Swim, FaultStep, ReviewItem, Event, Load, Choice)


def roster_prints(store: Store, *, as_of: dt.date, settings: Settings, crew: Crew = ALONE) -> dict[str, str]:
    """Return a text for every active swimmer; where it is the same, so is their roster line.

    It holds the day, the settings, what the roster taught and what it says of faults: every line rests on
    those too.

    Parameters
    ----------
    crew
        Who works out what the roster taught and says, where that is not known yet.
    """
    taught = roster_teaching(store, as_of=as_of, settings=settings, crew=crew)
    weighed = weigh_roster(store, as_of=as_of, settings=settings, crew=crew)
    basis = json.dumps([as_of.isoformat(), astuple(settings), repr(taught), repr(weighed)])
    ground = sha256(basis.encode()).hexdigest()[:16]
    with store.read() as reader:
        found = [reader.fingerprints(kind) for kind in KINDS]
        names = reader.labels()
    return {name: "|".join((ground, *(prints.get(name, "") for prints in found))) for name in names}
