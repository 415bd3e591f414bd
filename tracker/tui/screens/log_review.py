"""Log a review: scores with their words, measures with their norms, faults from the catalogue by typing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from tracker.entry.review_form import TypedReview
from tracker.errors import EntryError, Problem
from tracker.model.about import RecordField, fields_called
from tracker.model.catalogue import Fault, areas, measures
from tracker.model.review import ReviewItem
from tracker.model.vocabularies import WorkKind
from tracker.tui.screens.fault_work import fitting, matching
from tracker.tui.screens.form import RecordForm
from tracker.tui.widgets.form_sheet import FormField

SIDES = ("left", "right")
ALIASES = {"scores": "score", "measures": "measure"}
"""A problem's field -> the first word of the fields that the form has for it."""


class LogReviewScreen(RecordForm):
    """One look by a named reviewer."""

    NAME = "Log a review"
    DRAFT = "review"
    LOGS = True
    KIND = ReviewItem
    _faults: Sequence[Fault] = ()

    def asked(self, values: Mapping[str, str]) -> Sequence[RecordField]:  # noqa: ARG002 (always the same)
        """Return who looked and when."""
        return fields_called(ReviewItem, "reviewer", "date")

    def begins(self, field: RecordField) -> str:
        """Fill in the user as the reviewer."""
        return self.session.who if field.own == "reviewer" else super().begins(field)

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:
        """Return who and when, the areas, the faults, the measures, cue, drill, clip, note."""
        last = fields_called(ReviewItem, "clip", "note")
        return (
            *super().fields(values),
            FormField("faults", "faults seen", "breath-late:left=2, kick-knees; a part of a name helps"),
            FormField("corrected", "corrected", "breath-late:left"),
            *(FormField(f"score {area.slug}", area.slug, score_words(area.slug, values)) for area in areas()),
            *(FormField(f"measure {name}", label, norm) for name, label, norm in measure_rows()),
            FormField("cue", "new cue", "what the swimmer thinks from now on"),
            FormField("drill", "new drill", "what the swimmer does from now on"),
            *(FormField(field.name, field.label, field.hint) for field in last),
        )

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Say which faults fit the one being typed."""
        from tracker.app.faults import list_faults

        self._faults = self._faults or list_faults(self.session)
        name = self.sheet.at if self.sheet.at in {"faults", "corrected"} else "faults"
        last = values[name].replace(",", " ").split()[-1:] or [""]
        typed = last[0].split(":")[0].split("=")[0]
        return fitting(name, typed, self._faults) if typed else ((), "")

    def submit(self, values: Mapping[str, str]) -> str:
        """Log the review, then start the cue and the drill that came out of it."""
        from tracker.app.reviews import log_review
        from tracker.app.work import start_work

        typed = self.typed_review(values)
        try:
            logged = log_review(self.session, typed)
        except EntryError as error:
            raise EntryError(tuple(at_its_field(problem, values) for problem in error.problems)) from error
        first = logged.steps[0].fault if logged.steps else ""
        for kind in WorkKind:
            if values[kind]:
                form = {"kind": kind, "text": values[kind], "fault": first, "from": values["date"]}
                start_work(self.session, logged.swimmer, form)
        faults = ", ".join(f"{step.fault} {step.step}" for step in logged.steps) or "no faults"
        return f"Logged the review of {logged.swimmer} by {logged.reviewer}: {faults}."

    def typed_review(self, values: Mapping[str, str]) -> TypedReview:
        """Return what is typed as the use-case takes it."""
        return TypedReview(
            name=values["swimmer"],
            by=values["reviewer"],
            date=values["date"],
            scores=_typed_as("score ", values),
            measures=_typed_as("measure ", values),
            faults=tuple(self._whole_names(values["faults"])),
            corrected=tuple(self._whole_names(values["corrected"])),
            clip=values["clip"],
            note=values["note"],
        )

    def _whole_names(self, text: str) -> list[str]:
        """Return faults as typed, a part of a name put in full where it is clear which is meant."""
        whole = []
        for part in text.replace(",", " ").split():
            name = part.split(":")[0].split("=")[0]
            found = matching(name, self._faults)
            whole.append(found[0].slug + part[len(name) :] if len(found) == 1 else part)
        return whole


def _typed_as(what: str, values: Mapping[str, str]) -> tuple[str, ...]:
    """Return "breathing=3" for each filled field of the scores, or of the measures."""
    filled = ((name.removeprefix(what), text) for name, text in values.items() if name.startswith(what))
    return tuple(f"{name}={text}" for name, text in filled if text)


def score_words(area: str, values: Mapping[str, str]) -> str:
    """Return what the typed score looks like in this area, or the two ends of its scale."""
    steps = next(one.steps for one in areas() if one.slug == area)
    typed = values.get(f"score {area}", "")
    if typed.isdigit() and 1 <= int(typed) <= len(steps):
        return steps[int(typed) - 1]
    return f"1 {steps[0]} … 5 {steps[-1]}"


def measure_rows() -> list[tuple[str, str, str]]:
    """Return (measure with side, label, norm with unit) of each row."""
    rows = []
    for measure in measures():
        for side in SIDES if measure.sided else ("",):
            name = f"{measure.slug}:{side}" if side else measure.slug
            label = f"{measure.slug} {side[:1].upper()}".rstrip()
            rows.append((name, label, f"{measure.unit}; norm: {measure.norm}"))
    return rows


def at_its_field(problem: Problem, values: Mapping[str, str]) -> Problem:
    """Return a problem under the name of the field in which its text stands."""
    field = ALIASES.get(problem.field, problem.field)
    exact = f"{field} {problem.value.split('=')[0]}"
    return replace(problem, field=exact if exact in values else field)
