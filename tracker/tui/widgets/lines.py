"""Single lines of a screen: its title, what was last said, and the keys most used here."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static

from tracker.model.text import clean_line, clean_note
from tracker.tui.drawing.cells import fitted, width_of


class TextLine(Static):
    """Text of people or ours, shown literally; `role` is a style class."""

    def __init__(self, text: str = "", *, role: str = "", id: str | None = None) -> None:  # noqa: A002 (Textual's name)
        super().__init__(Content(clean_note(text)), id=id, classes=role)
        self._text = text

    @property
    def text(self) -> str:
        """What is shown, before cleaning."""
        return self._text

    def say(self, text: str, role: str = "") -> None:
        """Show another text."""
        self._text = text
        self.set_classes(role)
        self.update(Content(clean_note(text)))


class TitleLine(TextLine):
    """The name of the screen, what it shows, and the day taken as today."""

    def name_it(self, title: str, subject: str, right: str) -> None:
        """Show the title, the subject and, at the right end, the day."""
        width = max(1, (self.size.width or self.app.size.width) - 2)
        left = f"{title}  {subject}" if subject else title
        room = max(1, width - width_of(right) - 1)
        self.say(f"{fitted(left, room)} {clean_line(right)}")


class KeyLine(Static):
    """At most six keys with what they do; `?` has them all."""

    def __init__(self, hints: Sequence[tuple[str, str]]) -> None:
        parts: list[tuple[str, str] | str] = []
        for key, does in hints:
            parts += [(f" {key} ", "bold $accent"), f"{does} "]
        super().__init__(Content.assemble(*parts))
