"""The settings, and the first screen of an empty club."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical

from tracker.errors import EntryError, Problem, SlackwaterError
from tracker.tui.drawing.roster_rows import Column, Row
from tracker.tui.remedies import failure_words
from tracker.tui.screens.form import FormScreen
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.form_sheet import FormField
from tracker.tui.widgets.lines import TextLine
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
                for name, value, origin in self.context.config.rows()
            ]
        )

    @on(LongList.Chosen)
    def _chosen(self, message: LongList.Chosen) -> None:
        value = next(row.texts[1] for row in self.query_one(LongList).rows if row.key == message.key)
        self.app.push_screen(ChangeSettingScreen(message.key, value))


class ChangeSettingScreen(FormScreen):
    """One value."""

    NAME = "Change a setting"
    DRAFT = "setting"

    def __init__(self, name: str, value: str) -> None:
        super().__init__(of=name)
        self._setting, self._old = name, value

    def subject(self) -> str:
        """Return its name."""
        return self._setting

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the value."""
        return (FormField("value", self._setting, f"now {self._old}", self._old),)

    def submit(self, values: Mapping[str, str]) -> str:
        """Write it to the user's own config file; it holds from now on."""
        try:
            settings = self.context.config.put(self._setting, values["value"])
        except SlackwaterError as error:
            raise EntryError((Problem("value", values["value"], failure_words(error)),)) from error
        self.slackwater.apply_settings(settings)
        return f"{self._setting} is {values['value']}."


WORDS = """Nothing is on record here yet.

  a   add a first swimmer: yourself, or one of your squad
  i   import a folder or file of CSV
  k   look at an invented club of 24 swimmers first; it lives in a folder of its own,
      and nothing of yours is touched

Test swims are maximal efforts: swim them only when well and warmed up, with somebody
watching, and by the rules of your pool."""


class WelcomeScreen(Frame):
    """Shown over the roster while nobody is on it."""

    NAME = "Welcome"
    HINTS = (
        ("a", "first swimmer"),
        ("i", "import"),
        ("k", "invented club"),
        ("?", "all keys"),
        ("ctrl+q", "quit"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("k", "club", "look at the invented club", show=False, id="demo"),
    ]

    def body(self) -> ComposeResult:
        """Yield the words."""
        with Vertical(id="welcome"):
            yield TextLine(WORDS)

    def reload(self) -> None:
        """Give way to the roster as soon as somebody is on it."""
        from tracker.app.swimmers import roster_names

        if roster_names(self.session) and self.is_current:
            self.app.pop_screen()

    def on_screen_resume(self) -> None:
        """Look again after a form."""
        self.reload()

    def action_club(self) -> None:
        """Build the invented club and show it instead."""
        self.slackwater.show_invented_club()

    def action_back(self) -> None:
        """Show the empty roster."""
        self.app.pop_screen()
