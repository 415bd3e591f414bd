"""Correct a swim, or set it aside with a reason."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tracker.errors import DecisionNeededError, EntryError, Problem, StaleError
from tracker.output.css_words import distance_words
from tracker.records.swim import Swim
from tracker.records.units import format_time, plain_number
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField
from tracker.usecases.edit_swim import FoundSwim

HINTS = {
    "date": "YYYY-MM-DD",
    "distance": "400 in the course's unit, or 400m, 400yd",
    "time": "m:ss, m:ss.t or seconds",
    "course": "SCM, LCM, SCY, OW or 33.3m",
    "suit": "none or wetsuit",
    "start": "push or dive",
    "strokes": "per length",
    "rate": "32cpm or 64spm",
    "effort": "1 to 10",
}


class EditSwimScreen(FormScreen):
    """All fields of a swim, as they were when it was opened."""

    NAME = "Correct a swim"

    def __init__(self, kept: FoundSwim) -> None:
        super().__init__(f"edit-swim-{kept.id}")
        self._kept = kept

    def subject(self) -> str:
        """Return which swim it is."""
        return f"{self._kept.record.swimmer}, no. {self._kept.id}"

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the fields with what is on record."""
        return tuple(
            FormField(name, name, HINTS.get(name, ""), text) for name, text in as_typed(self._kept.record)
        )

    def care(self, values: Mapping[str, str]) -> Sequence[str]:
        """Return what the words that are not on record yet call for."""
        from tracker.faults.cautions import SAID_OF_SWIMS, codes_in

        before = dict(as_typed(self._kept.record))
        return codes_in(values[name] for name in SAID_OF_SWIMS if values.get(name, "") != before[name])

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:
        """Change what differs; a swim changed by somebody else meanwhile is shown beside what is typed."""
        from tracker.output.doubt_words import doubt_sentence
        from tracker.usecases.edit_swim import TypedEdit, edit_swim
        from tracker.usecases.log_test import ImplausibleError

        before = dict(as_typed(self._kept.record))
        changed = {name: text for name, text in values.items() if text != before[name]}
        typed = TypedEdit(self._kept, changed, accept)
        try:
            swim, _ = edit_swim(self.desk.store, typed, settings=self.desk.settings, **self.written_by())
        except ImplausibleError as error:
            said = "; ".join(doubt_sentence(doubt) for doubt in error.doubts)
            raise DecisionNeededError(f"Implausible: {said}") from error
        except StaleError as error:
            raise StaleError(self._both_values(changed)) from error
        return f"Corrected swim {self._kept.id} of {swim.swimmer}."

    def _both_values(self, changed: Mapping[str, str]) -> str:
        """Return what is typed and what now stands on record, field by field, and take that as the base."""
        from tracker.usecases.edit_swim import find_swim

        before = dict(as_typed(self._kept.record))
        now = find_swim(self.desk.store, self._kept.id)
        there = dict(as_typed(now.record))
        self._kept = now
        differing = [name for name in there if there[name] != before[name] or name in changed]
        pairs = [
            f"{name}: on record {there[name] or '-'}, typed {changed.get(name, before[name]) or '-'}"
            for name in differing
        ]
        return f"somebody changed it meanwhile; {'; '.join(pairs)}. ctrl+s saves what is typed"


class AsideScreen(FormScreen):
    """Why it does not count."""

    NAME = "Set a swim aside"

    def __init__(self, kept: FoundSwim) -> None:
        super().__init__(f"aside-{kept.id}")
        self._kept = kept

    def subject(self) -> str:
        """Return which swim it is."""
        swim = self._kept.record
        distance = distance_words(swim.distance_m, swim.course)
        return f"{swim.swimmer}, {swim.date}, {distance} in {format_time(swim.time_s)}"

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the reason."""
        return (FormField("reason", "reason", "such as: lost count of the lengths"),)

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Set it aside."""
        from tracker.usecases.edit_swim import decide_swim

        if not values["reason"]:
            raise EntryError((Problem("reason", "", "a swim is set aside with a reason"),))
        decide_swim(
            self.desk.store,
            self._kept,
            "aside",
            values["reason"],
            who=self.desk.who,
            at=self.slackwater.now(),
        )
        return "Set aside; 'u' takes that back."


def as_typed(swim: Swim) -> list[tuple[str, str]]:
    """Return the fields of a swim as they would be typed."""

    def number(value: float | None) -> str:
        return "" if value is None else plain_number(value)

    return [
        ("date", swim.date.isoformat()),
        ("test", swim.test),
        ("distance", distance_words(swim.distance_m, swim.course)),
        ("time", format_time(swim.time_s)),
        ("course", swim.course),
        ("suit", swim.suit),
        ("kit", swim.kit),
        ("start", swim.start),
        ("at", swim.at),
        ("warmup", number(swim.warmup_min)),
        ("rest", number(swim.rest_s)),
        ("strokes", swim.strokes),
        ("rate", f"{number(swim.rate_cpm)}cpm" if swim.rate_cpm else ""),
        ("effort", number(swim.effort)),
        ("conditions", swim.conditions),
        ("note", swim.note),
    ]
