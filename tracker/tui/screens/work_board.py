"""Faults and work over the roster: what is back, open, in work and for how long, what was corrected."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import Input

from tracker.app.faults import FaultInHand
from tracker.model.text import fits
from tracker.tui.drawing.picture import lane_name
from tracker.tui.drawing.roles import state_role
from tracker.tui.drawing.roster_rows import Column, Row
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.form_sheet import Field
from tracker.tui.widgets.lines import TextLine
from tracker.tui.widgets.long_list import LongList

COLUMNS = (
    Column("state", 12),
    Column("fault", 18),
    Column("swimmer", 16, 1),
    Column("since", 10),
    Column("days", 5),
    Column("in use", 10, 2),
)


class WorkBoardScreen(Frame):
    """One row a fault and swimmer."""

    NAME = "Faults and work"
    AUTO_FOCUS = "LongList"  # what is typed before the screen is up is not for the filter, hidden still
    HINTS = (
        ("Enter", "open"),
        ("/", "filter"),
        ("f", "next step of it"),
        ("b", "did it help"),
        ("?", "all keys"),
        ("Escape", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "filter", "filter by state, fault, swimmer or group", show=False, id="filter"),
        Binding("f", "step", "write down a step of this fault", show=False, id="fault-step"),
        Binding("b", "effects", "did it help: effects over the roster", show=False, id="effects"),
        Binding("c", "work", "start or stop a cue or drill against it", show=False, id="work"),
        Binding("D", "draw", "draw by lot who starts now and who in twelve weeks", show=False, id="draw"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._faults: Sequence[FaultInHand] = ()

    def body(self) -> ComposeResult:
        """Yield the sentence, the filter, the list and the reason of the fault under the cursor."""
        yield TextLine(id="sentence")
        yield Field(id="filter", placeholder="state, fault, swimmer or group")
        yield LongList(COLUMNS, id="board", empty="no faults on record; 'r' logs a review")
        yield TextLine(id="doubt", role="quiet")

    def on_mount(self) -> None:
        """Keys go to the list."""
        self.query_one("#filter").display = False
        super().on_mount()
        self.query_one(LongList).focus()

    def swimmer(self) -> str:
        """Return the swimmer of the row under the cursor."""
        one = self._current()
        return one.swimmer if one else ""

    def reload(self) -> None:
        """Read the faults again."""
        from tracker.app.faults import faults_in_hand

        self._faults = faults_in_hand(self.session)
        counts = Counter(one.state for one in self._faults)
        said = ", ".join(f"{number} {state}" for state, number in counts.items())
        self.query_one("#sentence", TextLine).say(said.capitalize() + "." if said else "No faults on record.")
        self._show()

    def _show(self) -> None:
        typed = self.query_one("#filter", Input).value
        rows = [
            _row(index, one)
            for index, one in enumerate(self._faults)
            if fits(typed, f"{one.state} {one.fault} {one.side} {one.swimmer} {one.group}")
        ]
        self.query_one(LongList).show(rows)

    def action_filter(self) -> None:
        """Show the filter and type into it."""
        self.query_one("#filter").display = True
        self.query_one("#filter").focus()

    @on(Input.Changed, "#filter")
    def _filtered(self) -> None:
        self._show()

    @on(Input.Submitted, "#filter")
    def _kept(self) -> None:
        self.query_one(LongList).focus()

    def action_back(self) -> None:
        """Clear the filter, or go back."""
        field = self.query_one("#filter", Input)
        if field.display:
            field.value = ""
            field.display = False
            self.query_one(LongList).focus()
        else:
            super().action_back()

    @on(LongList.Moved)
    def _moved(self) -> None:
        one = self._current()
        self.query_one("#doubt", TextLine).say(one.reason if one else "", "quiet")

    @on(LongList.Chosen)
    def _chosen(self) -> None:
        rows = self.query_one(LongList).rows
        self.slackwater.open_swimmer(self.swimmer(), [self._faults[int(row.key)].swimmer for row in rows])

    def action_step(self) -> None:
        """Write down what became of this fault."""
        from tracker.tui.screens.fault_work import StepFaultScreen

        one = self._current()
        self.app.push_screen(
            StepFaultScreen(one.swimmer, begun={"fault": one.fault, "side": one.side})
            if one
            else StepFaultScreen("")
        )

    def action_effects(self) -> None:
        """Show whether corrections, cues and drills helped."""
        from tracker.tui.screens.reading import EffectsScreen

        self.app.push_screen(EffectsScreen())

    def action_draw(self) -> None:
        """Show the swimmers a draw would take."""
        from tracker.tui.screens.next_step import DrawScreen

        self.app.push_screen(DrawScreen())

    def action_work(self) -> None:
        """Start or stop a cue or drill against this fault."""
        from tracker.tui.screens.fault_work import StartWorkScreen

        one = self._current()
        self.app.push_screen(
            StartWorkScreen(one.swimmer, begun={"fault": one.fault}) if one else StartWorkScreen("")
        )

    def _current(self) -> FaultInHand | None:
        key = self.query_one(LongList).cursor_key
        return self._faults[int(key)] if key is not None else None


def _row(index: int, one: FaultInHand) -> Row:
    role = state_role(one.state)
    texts = (
        one.state.short,
        lane_name((one.fault, one.side)),
        one.swimmer,
        one.since.isoformat(),
        str(one.days),
        "; ".join(one.in_use),
    )
    return Row(str(index), texts, (role, "", "", "quiet", "", "quiet"))
