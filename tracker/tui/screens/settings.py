"""The settings: every threshold with its value and where it comes from; change one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from textual import on
from textual.app import ComposeResult

from tracker.errors import EntryError, Problem, SlackwaterError
from tracker.tui.drawing.table import Column, Row
from tracker.tui.screens.form import FormScreen
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.form_sheet import FormField
from tracker.tui.widgets.long_list import LongList

COLUMNS = (Column("setting", 20), Column("value", 18, 1), Column("from", 16, 1))


class SettingsScreen(Frame):
    """A row a setting."""

    NAME = "Settings"
    HINTS = (("Enter", "change"), ("?", "all keys"), ("Escape", "back"))

    def body(self) -> ComposeResult:
        """Yield the list."""
        yield LongList(COLUMNS, id="settings", empty="the settings cannot be read here")

    def on_mount(self) -> None:
        """Keys go to the list."""
        super().on_mount()
        self.query_one(LongList).focus()

    def reload(self) -> None:
        """Read them again."""
        self.query_one(LongList).show(
            [
                Row(name, (name, value, origin), ("", "", "quiet"))
                for name, value, origin in self.desk.config.rows()
            ]
        )

    @on(LongList.Chosen)
    def _chosen(self, message: LongList.Chosen) -> None:
        value = next(row.texts[1] for row in self.query_one(LongList).rows if row.key == message.key)
        self.app.push_screen(ChangeSettingScreen(message.key, value))


class ChangeSettingScreen(FormScreen):
    """One value."""

    NAME = "Change a setting"

    def __init__(self, name: str, value: str) -> None:
        super().__init__(f"setting-{name}")
        self._setting, self._old = name, value

    def subject(self) -> str:
        """Return its name."""
        return self._setting

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the value."""
        return (FormField("value", self._setting, f"now {self._old}", self._old),)

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Write it to the user's own config file; it holds from now on."""
        try:
            settings = self.desk.config.put(self._setting, values["value"])
        except SlackwaterError as error:
            raise EntryError((Problem("value", values["value"], str(error)),)) from error
        self.slackwater.heed(settings)
        return f"{self._setting} is {values['value']}."
