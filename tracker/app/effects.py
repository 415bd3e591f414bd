"""The effects of corrections, cues and drills over the roster."""

from __future__ import annotations

from dataclasses import dataclass

from tracker.app.learned_priors import learned_priors
from tracker.app.read_evidence import evidence_of
from tracker.app.session import Session
from tracker.technique.effect import Effect, Shrunk, shrunk
from tracker.technique.fault_timeline import ChangeKind


@dataclass(frozen=True)
class Effects:
    """All effects, those over all faults first; `side_by_side` are those by fault, drawn towards none."""

    all: tuple[Effect, ...]
    side_by_side: tuple[Shrunk, ...]


def estimate_effects(session: Session, *, fault: str = "") -> Effects:
    """Return the effects of what was changed up to today, against one fault or all."""
    learned = learned_priors(session)
    with session.store.read() as reader:
        evidence = evidence_of(reader, learned, as_of=session.today, settings=session.settings).evidence
    if fault:
        return Effects(evidence.effects_on(fault), ())
    found = evidence.effects()
    by_fault = [effect for effect in found if effect.fault and effect.kind == ChangeKind.CORRECTION]
    return Effects(found, shrunk(by_fault))
