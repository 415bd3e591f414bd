"""Forms for a fault's steps, cues and drills; faults of the catalogue found by typing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from tracker.errors import EntryError, Problem, UnknownNameError
from tracker.model.about import RecordField
from tracker.model.catalogue import Fault
from tracker.model.fault import FaultStep
from tracker.model.practices import Caution
from tracker.model.text import name_key
from tracker.model.vocabularies import WorkKind
from tracker.model.work import Work
from tracker.output.sentences.numbers import capital
from tracker.tui.remedies import failure_words
from tracker.tui.screens.form import RecordForm
from tracker.tui.widgets.form_sheet import FormField


class StepFaultScreen(RecordForm):
    """The fault is found by typing any part of its names."""

    NAME = "A fault"
    DRAFT = "fault"
    LOGS = True
    KIND = FaultStep

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Say which faults fit what is typed, and what the one meant is."""
        from tracker.app.faults import list_faults

        return fitting("fault", values["fault"], list_faults(self.session))

    def submit(self, values: Mapping[str, str]) -> str:
        """Write the step down."""
        from tracker.app.faults import change_fault, list_faults

        found = matching(values["fault"], list_faults(self.session))
        slug = found[0].slug if len(found) == 1 else values["fault"]
        changed = change_fault(self.session, values["swimmer"], {**values, "fault": slug})
        side = f", {changed.step.side}" if changed.step.side else ""
        return f"{changed.step.swimmer}: {changed.entry.name}{side} is {changed.after}."


STOPS = frozenset({"stop", "end"})
_ONLY_STARTING = ("fault", "per_week", "from_date")


class StartWorkScreen(RecordForm):
    """One form for both: "start" or "stop" says which."""

    NAME = "A cue or a drill"
    DRAFT = "work"
    LOGS = True
    KIND = Work
    FIELDS = (FormField("act", "start or stop", value="start"),)
    BEGUN: ClassVar[Mapping[str, str]] = {"kind": WorkKind.CUE}
    _answered: Sequence[str] = ()

    def asked(self, values: Mapping[str, str]) -> Sequence[RecordField]:
        """Return what to start or stop."""
        other = _ONLY_STARTING if _stops(values) else ("to_date",)
        return [field for field in super().asked(values) if field.own not in other]

    def care(self, values: Mapping[str, str]) -> Sequence[Caution]:
        """Return what the words of what begins call for, and, once it is saved, the fault it answers."""
        from tracker.technique.cautions import codes_in

        return () if _stops(values) else codes_in([values.get("text", "")], self._answered)

    def submit(self, values: Mapping[str, str]) -> str:
        """Start or stop it."""
        from tracker.app.work import start_work, stop_work, uncorrected_fed
        from tracker.output.sentences.evidence import feeds_note

        kind = values["kind"].casefold()
        if kind not in set(WorkKind):
            raise EntryError((Problem("kind", kind, "is neither cue nor drill"),))
        form = {name: text for name, text in values.items() if name not in {"act", "swimmer"}} | {
            "kind": kind
        }
        if _stops(values):
            work = stop_work(self.session, values["swimmer"], form)
            return f"{work.swimmer}: stopped the {work.kind} {work.text} on {work.to_date}."
        work, answered = start_work(self.session, values["swimmer"], form)
        self._answered = answered.care if answered else ()
        notes = [feeds_note(work.kind, fed.name) for fed in uncorrected_fed(self.session, work)]
        return " ".join([f"{work.swimmer}: started the {work.kind} {work.text}.", *map(capital, notes)])


def _stops(values: Mapping[str, str]) -> bool:
    return values.get("act", "start").casefold() in STOPS


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
