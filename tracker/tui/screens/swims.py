"""What is logged for a swimmer: correct a swim, delete it, or say whether it counts."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.output.css_words import distance_words
from tracker.records.units import format_time
from tracker.tui.drawing.table import Column, Row
from tracker.tui.screens.confirm import ConfirmScreen
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.lines import TextLine
from tracker.tui.widgets.long_list import LongList
from tracker.usecases.list_swims import ListedSwim
from tracker.verdict.standing import Standing

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


class SwimsScreen(Frame):
    """Latest first."""

    NAME = "Swims"
    HINTS = (
        ("Enter", "correct"),
        ("d", "delete"),
        ("x", "set aside"),
        ("b", "let it count"),
        ("?", "all keys"),
        ("Escape", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("d", "delete", "delete this swim (asks)", show=False, id="delete-swim"),
        Binding("x", "aside", "set this swim aside: it does not count", show=False, id="swim-aside"),
        Binding("b", "keep", "let this doubtful swim count", show=False, id="swim-keep"),
    ]

    def __init__(self, swimmer: str) -> None:
        super().__init__()
        self._for = swimmer
        self._swims: dict[str, ListedSwim] = {}

    def swimmer(self) -> str:
        """Return whose swims they are."""
        return self._for

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
        from tracker.usecases.list_swims import list_swims

        listed = list_swims(
            self.desk.store, self._for, as_of=self.slackwater.today(), settings=self.desk.settings
        )
        self._swims = {str(one.kept.id): one for one in reversed(listed)}
        self.query_one(LongList).show([_row(one) for one in self._swims.values()])
        self._say_doubts(self.query_one(LongList).cursor_key)
        self.retitle()

    @on(LongList.Moved)
    def _moved(self, message: LongList.Moved) -> None:
        self._say_doubts(message.key)

    def _say_doubts(self, key: str | None) -> None:
        from tracker.output.reason_words import remarks

        one = self._swims.get(key or "")
        said = "; ".join(remarks(one.standing)) if one else ""
        note = one.kept.record.note if one else ""
        self.query_one("#doubt", TextLine).say("; ".join(part for part in (said, note) if part), "quiet")

    @on(LongList.Chosen)
    def _chosen(self, message: LongList.Chosen) -> None:
        from tracker.tui.screens.edit_swim import EditSwimScreen

        self.app.push_screen(EditSwimScreen(self._swims[message.key].kept))

    def action_delete(self) -> None:
        """Ask, then delete."""
        one = self._current()
        if one is None:
            return
        swim = one.kept.record

        def answered(yes: bool | None) -> None:  # noqa: FBT001 (the library's call)
            from tracker.usecases.edit_swim import delete_swim

            if not yes:
                self.news("Nothing was deleted.")
                return
            self.slackwater.change(
                lambda: delete_swim(self.desk.store, one.kept, who=self.desk.who, at=self.slackwater.now()),
                f"Deleted 1 swim of {swim.swimmer}; 'u' brings it back.",
            )

        distance = distance_words(swim.distance_m, swim.course)
        question = f"Delete 1 swim: {swim.swimmer}, {distance} on {swim.date}?"
        self.app.push_screen(ConfirmScreen(question), answered)

    def action_aside(self) -> None:
        """Set the swim aside."""
        from tracker.tui.screens.edit_swim import AsideScreen

        one = self._current()
        if one is not None:
            self.app.push_screen(AsideScreen(one.kept))

    def action_keep(self) -> None:
        """Let a doubtful swim count."""
        from tracker.usecases.edit_swim import decide_swim

        one = self._current()
        if one is None:
            return
        self.slackwater.change(
            lambda: decide_swim(
                self.desk.store, one.kept, "kept", "", who=self.desk.who, at=self.slackwater.now()
            ),
            "It counts.",
        )

    def _current(self) -> ListedSwim | None:
        return self._swims.get(self.query_one(LongList).cursor_key or "")


def _row(one: ListedSwim) -> Row:
    swim = one.kept.record
    role = "" if one.standing.counts else "bad"
    texts = (
        str(one.kept.id),
        swim.date.isoformat(),
        swim.test,
        distance_words(swim.distance_m, swim.course),
        format_time(swim.time_s),
        format_time(swim.pace, 1),
        swim.course,
        _word(one.standing),
    )
    return Row(str(one.kept.id), texts, ("quiet", "", "", "", "", "", "quiet", role))


def _word(one: Standing) -> str:
    """Return whether a swim counts, in few cells."""
    if one.counts:
        return one.swim.decision or "yes"
    if one.set_aside is not None or one.swim.decision == "aside":
        return "no: aside"
    return "no: kit" if one.left_out == "with kit" else "no: doubtful"
