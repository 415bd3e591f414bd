"""Fingerprints of what each line of a scan rests on."""

from __future__ import annotations

import json
from dataclasses import astuple
from hashlib import sha256

from tracker.app.executor import IN_PROCESS, Executor
from tracker.app.learned_priors import learned_priors
from tracker.app.roster_evidence import learn_roster_evidence
from tracker.app.session import Session
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Choice, Swimmer

KINDS = (Swimmer, Swim, FaultStep, ReviewItem, Event, Load, Choice)


def roster_fingerprints(session: Session, *, executor: Executor = IN_PROCESS) -> dict[str, str]:
    """Return a text for every active swimmer; where it is the same, so is their roster line.

    It holds the day, the settings, the learned priors and the roster evidence: every line rests on
    those too.

    Parameters
    ----------
    executor
        Who works out the priors and the evidence, where they are not known yet.
    """
    learned = learned_priors(session, executor=executor)
    roster_evidence = learn_roster_evidence(session, executor=executor)
    basis = json.dumps(
        [session.today.isoformat(), astuple(session.settings), repr(learned), repr(roster_evidence)]
    )
    common = sha256(basis.encode()).hexdigest()[:16]
    with session.store.read() as reader:
        found = [reader.fingerprints(kind) for kind in KINDS]
        names = reader.labels()
    return {
        name: "|".join((common, *(fingerprints.get(name, "") for fingerprints in found))) for name in names
    }
