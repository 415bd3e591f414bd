"""The swims on record, and the form that corrects one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar, assert_never

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.app.swims import FoundSwim, ListedSwim
from tracker.engine.series.left_out import LeftOutReason
from tracker.engine.verdict.counted_swims import SwimStatus
from tracker.errors import DecisionNeededError, EntryError, Problem, StaleError
from tracker.model.about import RecordField, corrigible
from tracker.model.practices import Caution
from tracker.model.swim import Swim
from tracker.model.units import format_time
from tracker.model.vocabularies import Decision
from tracker.output.sentences.data import distance_words
from tracker.tui.drawing.roster_rows import Column, Row
from tracker.tui.screens.confirm import ConfirmScreen
from tracker.tui.screens.detail import NEIGHBOURS, DetailScreen
from tracker.tui.screens.form import FormScreen, RecordForm
from tracker.tui.widgets.form_sheet import FormField
from tracker.tui.widgets.lines import TextLine
from tracker.tui.widgets.long_list import LongList

COLUMNS = (
    Column("no.", 5),
    Column("date", 10),
    Column("test", 6, 1),
    Column("distance", 9),
    Column("time", 9),
    Column("per 100 m", 9),
    Column("course", 6),
    Column("counts", 10),
)


class SwimsScreen(DetailScreen):
    """Latest first."""

    NAME = "Swims"
    HINTS = (
        ("Enter", "correct"),
        ("d", "delete"),
        ("x b", "set aside, count"),
        NEIGHBOURS,
        ("?", "all keys"),
        ("Escape", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d", "delete", "delete this swim (asks)", show=False, id="delete-swim"),
        Binding("x", "aside", "set this swim aside: it does not count", show=False, id="swim-aside"),
        Binding("b", "keep", "let this doubtful swim count", show=False, id="swim-keep"),
    ]

    def __init__(self, swimmer: str) -> None:
        super().__init__(swimmer)
        self._swims: dict[str, ListedSwim] = {}

    def subject(self) -> str:
        """Return whose swims they are."""
        return f"{self._for}, {len(self._swims)}"

    def body(self) -> ComposeResult:
        """Yield the list and what is doubtful about the swim under the cursor."""
        yield LongList(COLUMNS, id="swims", empty="nothing logged yet; 't' logs a test")
        yield TextLine(id="doubt", role="quiet")

    def on_mount(self) -> None:
        """Keys go to the list."""
        super().on_mount()
        self.query_one(LongList).focus()

    def reload(self) -> None:
        """List the swims again."""
        from tracker.app.swims import list_swims

        listed = list_swims(self.session, self._for)
        self._swims = {str(one.row.id): one for one in reversed(listed)}
        self.query_one(LongList).show([_row(one) for one in self._swims.values()])
        self._say_doubts(self.query_one(LongList).cursor_key)
        self.retitle()

    @on(LongList.Moved)
    def _moved(self, message: LongList.Moved) -> None:
        self._say_doubts(message.key)

    def _say_doubts(self, key: str | None) -> None:
        from tracker.output.sentences.reasons import remarks

        one = self._swims.get(key or "")
        said = "; ".join(remarks(one.status)) if one else ""
        note = one.row.record.note if one else ""
        self.query_one("#doubt", TextLine).say("; ".join(part for part in (said, note) if part), "quiet")

    @on(LongList.Chosen)
    def _chosen(self, message: LongList.Chosen) -> None:

        self.app.push_screen(EditSwimScreen(self._swims[message.key].row))

    def action_delete(self) -> None:
        """Ask, then delete."""
        one = self._current()
        if one is None:
            return
        swim = one.row.record

        def answered(yes: bool | None) -> None:  # noqa: FBT001 (the library's call)
            from tracker.app.entries import delete_entry

            if not yes:
                self.announce("Nothing was deleted.")
                return
            self.slackwater.change(
                lambda: delete_entry(self.session, one.row),
                f"Deleted 1 swim of {swim.swimmer}; 'u' brings it back.",
            )

        distance = distance_words(swim.distance_m, swim.course)
        question = f"Delete 1 swim: {swim.swimmer}, {distance} on {swim.date}?"
        self.app.push_screen(ConfirmScreen(question), answered)

    def action_aside(self) -> None:
        """Set the swim aside."""
        one = self._current()
        if one is not None:
            self.app.push_screen(AsideScreen(one.row))

    def action_keep(self) -> None:
        """Let a doubtful swim count."""
        from tracker.app.swims import decide_swim

        one = self._current()
        if one is None:
            return
        self.slackwater.change(
            lambda: decide_swim(self.session, one.row, Decision.KEPT, ""),
            "It counts.",
        )

    def _current(self) -> ListedSwim | None:
        return self._swims.get(self.query_one(LongList).cursor_key or "")


def _row(one: ListedSwim) -> Row:
    swim = one.row.record
    role = "" if one.status.counts else "bad"
    texts = (
        str(one.row.id),
        swim.date.isoformat(),
        swim.test,
        distance_words(swim.distance_m, swim.course),
        format_time(swim.time_s),
        format_time(swim.pace, 1),
        swim.course,
        _word(one.status),
    )
    return Row(str(one.row.id), texts, ("quiet", "", "", "", "", "", "quiet", role))


def _word(one: SwimStatus) -> str:
    """Return whether a swim counts, in few cells."""
    if one.counts:
        return one.swim.decision or "yes"
    match one.left_out:
        case None | LeftOutReason.ASIDE:  # by the line, or by a person
            return "no: aside"
        case LeftOutReason.KIT:
            return "no: kit"
        case LeftOutReason.EASY:
            return "no: easy"
        case LeftOutReason.IMPLAUSIBLE:
            return "no: doubtful"
        case other:
            assert_never(other)


class EditSwimScreen(RecordForm):
    """All fields of a swim, as they were when it was opened."""

    NAME = "Correct a swim"
    DRAFT = "edit-swim"
    KIND = Swim
    WITHOUT = ("swimmer",)

    def __init__(self, row: FoundSwim) -> None:
        super().__init__(of=str(row.id), begun=as_typed(row.record))
        self._row = row

    def subject(self) -> str:
        """Return which swim it is."""
        return f"{self._row.record.swimmer}, no. {self._row.id}"

    def asked(self, values: Mapping[str, str]) -> Sequence[RecordField]:  # noqa: ARG002 (always the same)
        """Return the fields in the order in which a swim is listed."""
        return corrigible(Swim)

    def hint(self, field: RecordField) -> str:
        """Return how a field is typed; an empty one goes back to nothing."""
        return field.hint

    def care(self, values: Mapping[str, str]) -> Sequence[Caution]:
        """Return what the words that are not on record yet call for."""
        from tracker.technique.cautions import codes_in

        before = as_typed(self._row.record)
        new = (name for name in self.SAID if values.get(name, "") != before.get(name, ""))
        return codes_in(values[name] for name in new)

    def submit(self, values: Mapping[str, str]) -> str:
        """Change what differs; a swim changed by somebody else meanwhile is shown beside what is typed."""
        from tracker.app.log_swims import ImplausibleError
        from tracker.app.swims import TypedEdit, edit_swim
        from tracker.output.sentences.doubts import doubt_sentence

        before = as_typed(self._row.record)
        changed = {name: text for name, text in values.items() if text != before[name]}
        typed = TypedEdit(self._row, changed, self.accepted)
        try:
            swim, _ = edit_swim(self.session, typed)
        except ImplausibleError as error:
            said = "; ".join(doubt_sentence(doubt) for doubt in error.doubts)
            raise DecisionNeededError(f"Implausible: {said}", error.remedy) from error
        except StaleError as error:
            raise StaleError(self._both_values(changed)) from error
        return f"Corrected swim {self._row.id} of {swim.swimmer}."

    def _both_values(self, changed: Mapping[str, str]) -> str:
        """Return what is typed and what now stands on record, field by field, and take that as the base."""
        from tracker.app.swims import find_swim

        before = as_typed(self._row.record)
        now = find_swim(self.session, self._row.id)
        there = as_typed(now.record)
        self._row = now
        differing = [name for name in there if there[name] != before[name] or name in changed]
        pairs = [
            f"{name}: on record {there[name] or '-'}, typed {changed.get(name, before[name]) or '-'}"
            for name in differing
        ]
        return f"somebody changed it meanwhile; {'; '.join(pairs)}. ctrl+s saves what is typed"


class AsideScreen(FormScreen):
    """Why it does not count."""

    NAME = "Set a swim aside"
    DRAFT = "aside"
    FIELDS = (FormField("reason", "reason", "such as: lost count of the lengths"),)

    def __init__(self, row: FoundSwim) -> None:
        super().__init__(of=str(row.id))
        self._row = row

    def subject(self) -> str:
        """Return which swim it is."""
        swim = self._row.record
        distance = distance_words(swim.distance_m, swim.course)
        return f"{swim.swimmer}, {swim.date}, {distance} in {format_time(swim.time_s)}"

    def submit(self, values: Mapping[str, str]) -> str:
        """Set it aside."""
        from tracker.app.swims import decide_swim

        if not values["reason"]:
            raise EntryError((Problem("reason", "", "a swim is set aside with a reason"),))
        decide_swim(self.session, self._row, Decision.ASIDE, values["reason"])
        return "Set aside; 'u' takes that back."


def as_typed(swim: Swim) -> dict[str, str]:
    """Return the fields of a swim as they would be typed; a distance in the course's own unit."""
    typed = {field.name: field.as_typed(swim) for field in corrigible(Swim)}
    return {**typed, "distance": distance_words(swim.distance_m, swim.course)}
