"""The list of all keys that work here, by group: opened with the question mark from any screen."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import ModalScreen, Screen
from textual.widgets import Static

from tracker.tui.widgets.chart_view import ChartView
from tracker.tui.widgets.form_sheet import Field, FormSheet
from tracker.tui.widgets.lines import KeyLine
from tracker.tui.widgets.long_list import LongList

NAMES = {
    "question_mark": "?",
    "slash": "/",
    "comma": ",",
    "full_stop": ".",
    "escape": "Escape",
    "enter": "Enter",
    "space": "Space",
    "pagedown": "PgDn",
    "pageup": "PgUp",
    "left": "←",
    "right": "→",
    "up": "↑",
    "down": "↓",
    "tab": "Tab",
    "home": "Home",
    "end": "End",
    "delete": "Delete",
    "backspace": "Backspace",
    **{f"f{number}": f"F{number}" for number in range(1, 13)},
}
PLACES = {LongList: "In the list", ChartView: "In the chart", FormSheet: "In the form", Field: "While typing"}
CHART_SIGNS = (
    "• test   ◦ test moved to the line's scale   × set aside   ░ flat stretch",
    "├ event, cue or drill, from its first day",
    "━ open or back   ═ in work   · corrected   ┄ parked",
)


class KeysScreen(ModalScreen[None]):
    """A list of keys over the screen that was asked about."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,question_mark,enter", "dismiss", "close", show=False),
        Binding("down,j", "scroll(1)", "down", show=False),
        Binding("up,k", "scroll(-1)", "up", show=False),
        Binding("pagedown", "scroll(15)", "page down", show=False),
        Binding("pageup", "scroll(-15)", "page up", show=False),
    ]

    def __init__(self, about: Screen[object]) -> None:
        super().__init__()
        self._groups = bindings_by_place(about)
        self._chart = bool(about.query(ChartView))

    def compose(self) -> ComposeResult:
        """Yield the groups and how to close."""
        text = Text()
        for place, keys in self._groups.items():
            text.append(f"{place}\n", "bold")
            for key, does in keys:
                text.append(f"  {key:<17} ", "bold")
                text.append(f"{does}\n")
            text.append("\n")
        if self._chart:
            text.append("Signs of the chart\n", "bold")
            text.append("".join(f"  {line}\n" for line in CHART_SIGNS))
        with VerticalScroll(id="keys"):
            yield Static(text)
        yield KeyLine((("Escape", "close"), ("↓ j", "down"), ("↑ k", "up")))

    def action_scroll(self, by: int) -> None:
        """Move through the list."""
        self.query_one("#keys", VerticalScroll).scroll_relative(y=by, animate=False)


def bindings_by_place(screen: Screen[object]) -> dict[str, list[tuple[str, str]]]:
    """Return what each key does on `screen`, grouped by where it works; keys of one action share a line."""
    places: dict[str, dict[str, list[str]]] = {}
    for key, active in screen.active_bindings.items():
        if active.binding.system:
            continue
        kind = next((name for type_, name in PLACES.items() if isinstance(active.node, type_)), "")
        place = kind or ("On this screen" if isinstance(active.node, Screen) else "Everywhere")
        does = active.binding.description or active.binding.action
        places.setdefault(place, {}).setdefault(does, []).append(key_name(key))
    order = ("On this screen", "In the list", "In the chart", "In the form", "While typing", "Everywhere")
    return {
        place: [(_together(keys), does) for does, keys in places[place].items()]
        for place in sorted(places, key=lambda place: order.index(place) if place in order else 99)
    }


def key_name(key: str) -> str:
    """Return a key as it stands on the keyboard."""
    prefix, plus, last = key.rpartition("+")
    return prefix + plus + NAMES.get(last, last)


def _together(keys: Iterable[str]) -> str:
    return " ".join(keys)
