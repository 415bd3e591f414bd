"""Faults of the catalogue found by typing, and what is said of one."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.errors import Problem, UnknownNameError
from tracker.model.catalogue import Fault
from tracker.model.text import name_key
from tracker.tui.remedies import failure_words


def matching(typed: str, faults: Sequence[Fault]) -> list[Fault]:
    """Return the faults of which short name or name hold what is typed; an exact short name is alone."""
    key = name_key(typed)
    exact = [fault for fault in faults if fault.slug == key]
    if exact or not key:
        return exact or list(faults)
    return [fault for fault in faults if key in fault.slug or key in name_key(fault.name)]


def fitting(field: str, typed: str, faults: Sequence[Fault]) -> tuple[tuple[Problem, ...], str]:
    """Return what is wrong with a fault that is being typed, and which fit it or what the one meant is."""
    found = matching(typed, faults)
    if not found:
        return (Problem(field, typed, failure_words(UnknownNameError("fault", typed))),), ""
    if len(found) == 1:
        return (), one_fault(found[0])
    return (), "Fits: " + ", ".join(fault.slug for fault in found[:12])


def one_fault(fault: Fault) -> str:
    """Return what a coach wants to know before naming it: look, norm, cost, what answers it."""
    parts = [f"{fault.slug}: {fault.name}. Look: {fault.look}", f"Norm: {fault.norm} ({fault.norm_source})"]
    if fault.cues:
        parts.append(f"Cues: {'; '.join(fault.cues[:2])}")
    if fault.drills:
        parts.append(f"Drills: {'; '.join(fault.drills[:2])}")
    return ". ".join(part.rstrip(".") for part in parts) + "."
