"""Pictures of the joint chart at both sizes, by day, and without colour."""

from __future__ import annotations

import pytest
from textual.app import App, ComposeResult

from tests.tui.drawing.pictures import a_picture
from tracker.tui.themes import DARK, LIGHT
from tracker.tui.widgets.chart_view import ChartView


class ChartApp(App[None]):
    CSS_PATH = "../../tracker/tui/look.tcss"

    def __init__(self, theme: str) -> None:
        super().__init__()
        self.register_theme(DARK)
        self.register_theme(LIGHT)
        self.theme = theme

    def compose(self) -> ComposeResult:
        yield ChartView()

    def on_mount(self) -> None:
        chart = self.query_one(ChartView)
        chart.show(a_picture())
        chart.action_step(-1)


LOOKS = {
    "80x24": ((80, 24), DARK.name, True),
    "120x40": ((120, 40), DARK.name, True),
    "light": ((80, 24), LIGHT.name, True),
    "no colour": ((80, 24), DARK.name, False),
}


@pytest.mark.parametrize(("size", "theme", "colour"), LOOKS.values(), ids=LOOKS)
def test_the_joint_chart_looks_as_it_did(snap_compare, monkeypatch, size, theme, colour):
    if not colour:
        monkeypatch.setenv("NO_COLOR", "1")
    assert snap_compare(ChartApp(theme), terminal_size=size)
