"""The joint chart as a widget: a cursor that steps from test to test, zoom and pan in time."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from rich.segment import Segment
from rich.style import Style
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from tracker.tui.drawing.cells import Run
from tracker.tui.drawing.joint_chart import View, joint_chart
from tracker.tui.drawing.panes import nearest_test
from tracker.tui.drawing.picture import Picture

ROLES = (
    "axis",
    "name",
    "line",
    "band",
    "test",
    "stroke",
    "aside",
    "flat",
    "hatch",
    "cursor",
    "mark",
    "open",
    "back",
    "in-work",
    "corrected",
    "said-to-be-corrected",
    "parked",
)
SHORTEST_DAYS = 28


class ChartView(Widget, can_focus=True):
    """Shows a `Picture`; posts `CursorMoved` when another test is under the cursor."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"chart--shade", *(f"chart--{role}" for role in ROLES)}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left,h", "step(-1)", "earlier test", group=Binding.Group("Chart")),
        Binding("right,l", "step(1)", "later test", group=Binding.Group("Chart")),
        Binding("home", "end(0)", "first test", show=False),
        Binding("end", "end(-1)", "last test", show=False),
        Binding("z", "zoom(0.5)", "zoom in", show=False),
        Binding("Z", "zoom(2.0)", "zoom out", show=False),
        Binding("comma", "pan(-1)", "pan to earlier dates", show=False),
        Binding("full_stop", "pan(1)", "pan to later dates", show=False),
        Binding("0", "whole", "show all dates", show=False),
    ]

    @dataclass
    class CursorMoved(Message):
        """The cursor stands on the test with this index, or on none."""

        index: int | None

    def __init__(self, picture: Picture | None = None, *, id: str | None = None) -> None:  # noqa: A002 (Textual's name)
        super().__init__(id=id)
        self._picture = picture
        self._view: View | None = None
        self._index: int | None = None
        self._rows: list[list[Run]] = []

    @property
    def picture(self) -> Picture | None:
        """What is shown."""
        return self._picture

    def blank(self) -> None:
        """Show nothing."""
        self._picture = self._view = self._index = None
        self._rows = []
        self.refresh()

    def show(self, picture: Picture, *, same_view: bool = False) -> None:
        """Show another picture: all of its dates without a cursor, or the same dates and cursor as before."""
        self._picture = picture
        if not same_view:
            self._view, self._index = None, None
        self._redraw()

    def render_line(self, y: int) -> Strip:
        """Return row `y`."""
        if len(self._rows) != self.size.height:
            self._lay_out()
        if y >= len(self._rows):
            return Strip.blank(self.size.width, self.rich_style)
        return Strip([Segment(run.text, self._style(run)) for run in self._rows[y]], self.size.width)

    def on_resize(self) -> None:
        """Lay the chart out again."""
        self._redraw()

    def action_step(self, by: int) -> None:
        """Move the cursor to another test."""
        points = self._picture.points if self._picture else ()
        if points:
            start = len(points) if by < 0 else -1
            index = (start if self._index is None else self._index) + by
            self._place(min(max(index, 0), len(points) - 1))

    def action_end(self, index: int) -> None:
        """Move the cursor to the first or last test."""
        if self._picture and self._picture.points:
            self._place(index % len(self._picture.points))

    def action_zoom(self, factor: float) -> None:
        """Show fewer or more dates around the cursor or the latest ones."""
        if self._picture is None:
            return
        view = self._whole() if self._view is None else self._view
        days = max(SHORTEST_DAYS, round((view.last - view.first).days * factor))
        middle = view.cursor or view.last
        last = min(self._picture.until, middle + dt.timedelta(days=days // 2))
        self._show_dates(last - dt.timedelta(days=days), last)

    def action_pan(self, direction: int) -> None:
        """Move by a third of what is shown."""
        if self._picture is None:
            return
        view = self._whole() if self._view is None else self._view
        days = (view.last - view.first).days
        by = dt.timedelta(days=direction * max(1, days // 3))
        first = min(max(view.first + by, self._picture.first), self._picture.until - dt.timedelta(days=days))
        self._show_dates(first, first + dt.timedelta(days=days))

    def action_whole(self) -> None:
        """Show all dates."""
        whole = self._whole()
        self._show_dates(whole.first, whole.last)

    def _show_dates(self, first: dt.date, last: dt.date) -> None:
        if self._picture is None:
            return
        first = max(first, self._picture.first)
        cursor = self._view.cursor if self._view else None
        self._view = View(first, max(last, first), cursor)
        self._redraw()

    def _place(self, index: int) -> None:
        if self._picture is None:
            return
        self._index = index
        day = self._picture.points[index].date
        view = self._view or self._whole()
        if not view.first <= day <= view.last:
            days = (view.last - view.first) / 2
            last = min(self._picture.until, day + days)
            view = View(last - 2 * days, last)
        self._view = View(view.first, view.last, day)
        self._redraw()
        self.post_message(self.CursorMoved(index))

    def on_click(self, event: object) -> None:
        """Put the cursor on the test nearest to a click."""
        x = getattr(event, "x", None)
        if x is None or self._picture is None:
            return
        view = self._view or self._whole()
        from tracker.tui.drawing.joint_chart import gutter_width

        left = gutter_width(self.size.width)
        share = (x - left) / max(1, self.size.width - left)
        index = nearest_test(self._picture.points, view.first + share * (view.last - view.first))
        if index is not None and share >= 0:
            self._place(index)

    def _whole(self) -> View:
        picture = self._picture or Picture(dt.date.min + dt.timedelta(days=365))
        return View(picture.first, picture.until)

    def _redraw(self) -> None:
        self._lay_out()
        self.refresh()

    def _lay_out(self) -> None:
        width, height = self.size
        if self._picture is None or width <= 0 or height <= 0:
            self._rows = []
        else:
            self._rows = joint_chart(self._picture, self._view or self._whole(), width, height)

    def _style(self, run: Run) -> Style:
        base = self.rich_style
        if run.role:
            base += self.get_component_rich_style(f"chart--{run.role}", partial=True)
        return base + self.get_component_rich_style("chart--shade", partial=True) if run.shaded else base
