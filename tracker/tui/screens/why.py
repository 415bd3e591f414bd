"""Why: the reasons of a verdict with their numbers, the link with its rivals, the tests set aside."""

from __future__ import annotations

from typing import ClassVar

from rich.text import Text
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from tracker.records.text import clean_note
from tracker.tui.screens.frame import Frame
from tracker.usecases.why import SwimmerView


class WhyScreen(Frame):
    """The evidence, in sentences."""

    NAME = "Why"
    HINTS = (("↓ j", "down"), ("↑ k", "up"), ("?", "all keys"), ("Escape", "back"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down,j", "scroll(1)", "down", show=False),
        Binding("up,k", "scroll(-1)", "up", show=False),
        Binding("pagedown", "scroll(15)", "a page down", show=False),
        Binding("pageup", "scroll(-15)", "a page up", show=False),
    ]

    def __init__(self, view: SwimmerView) -> None:
        super().__init__()
        self._view = view

    def swimmer(self) -> str:
        """Return the swimmer explained."""
        return self._view.swimmer.swimmer

    def subject(self) -> str:
        """Return the swimmer explained."""
        return self._view.swimmer.swimmer

    def body(self) -> ComposeResult:
        """Yield the sentences."""
        with VerticalScroll(id="reasons"):
            yield Static(id="evidence")

    def reload(self) -> None:
        """Write the sentences."""
        from tracker.output.link_words import link_lines
        from tracker.output.reason_words import sentence, set_aside_line
        from tracker.output.wording import headline
        from tracker.usecases.fault_names import fault_names

        today = self.slackwater.today()
        names = fault_names(self.desk.store)
        health = self.desk.settings.health
        line, verdict = self._view.line, self._view.line.verdict
        blocks = [("", [headline(verdict)])]
        if verdict is not None:
            blocks.append(("Reasons", [sentence(reason) for reason in verdict.reasons]))
            blocks.append(("The fault left uncorrected", link_lines(line.link, names, today, health=health)))
            pairs = zip(verdict.flat_stretches, line.stretch_links, strict=True)
            for stretch, link in pairs:
                if not stretch.current:
                    words = link_lines(link, names, today, health=health)
                    blocks.append((f"Flat from {stretch.start} to {stretch.end}", words))
            blocks.append(("Set aside", [set_aside_line(test) for test in verdict.set_aside]))
        text = Text()
        for title, sentences in blocks:
            if sentences:
                text.append(f"{title}\n" if title else "", "bold")
                text.append("".join(f"{clean_note(words)}\n" for words in sentences) + "\n")
        self.query_one("#evidence", Static).update(text)

    def action_scroll(self, by: int) -> None:
        """Move through the sentences."""
        self.query_one("#reasons", VerticalScroll).scroll_relative(y=by, animate=False)
