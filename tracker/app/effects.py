"""Did it help: the effects of corrections, cues and drills over the roster."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from tracker.app.learned_priors import learned_priors
from tracker.app.read_evidence import evidence_of
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.technique.effect import Effect, Shrunk, shrunk
from tracker.technique.life import ChangeKind


@dataclass(frozen=True)
class Effects:
    """All effects, those over all faults first; `side_by_side` are those by fault, drawn towards none."""

    all: tuple[Effect, ...]
    side_by_side: tuple[Shrunk, ...]


def estimate_effects(store: Store, *, as_of: dt.date, settings: Settings, fault: str = "") -> Effects:
    """Return the effects of what was changed up to `as_of`, against one fault or all."""
    learned = learned_priors(store, as_of=as_of, settings=settings)
    with store.read() as reader:
        evidence = evidence_of(reader, learned, as_of=as_of, settings=settings).evidence
    if fault:
        return Effects(evidence.effects_on(fault), ())
    found = evidence.effects()
    by_fault = [effect for effect in found if effect.fault and effect.kind == ChangeKind.CORRECTION]
    return Effects(found, shrunk(by_fault))
