"""A form: fields that are checked as one types, drafts that survive a kill, one key that saves.

Enter goes to the next field, ctrl+s saves, Escape goes back and keeps what was typed. What is
possible but implausible is asked about, and accepted with another key than the one that saves.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterable, Mapping
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input

from tracker.errors import DecisionNeededError, EntryError, Problem, SlackwaterError
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.field import Field
from tracker.tui.widgets.form_line import FormLine
from tracker.tui.widgets.lines import TextLine


class FormScreen(Frame):
    """Base of the forms."""

    DRAFT: ClassVar[str] = ""
    HINTS = (
        ("Enter", "next field"),
        ("ctrl+s", "save"),
        ("ctrl+x", "clear"),
        ("F1", "all keys"),
        ("Escape", "back, kept as a draft"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "save", "save", show=False, id="save"),
        Binding("ctrl+y", "accept", "accept what is implausible, and save", show=False, id="accept"),
        Binding("ctrl+x", "clear", "clear the form and its draft", show=False, id="clear-form"),
        Binding("down", "next_field", "next field", show=False),
        Binding("up", "previous_field", "previous field", show=False),
    ]

    def __init__(self) -> None:
        super().__init__()
        self._asked = False
        self._dirty = False

    @abstractmethod
    def lines(self) -> Iterable[FormLine]:
        """Return the fields, filled with what is known beforehand."""

    @abstractmethod
    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Return what is wrong with `values`, and what can be said about them while typing."""

    @abstractmethod
    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:
        """Save through a use-case and return what was done, in words."""

    def body(self) -> ComposeResult:
        """Yield the fields and the line that is said about all of them."""
        with VerticalScroll(id="form"):
            yield from self.lines()
        yield TextLine(id="live")

    def on_mount(self) -> None:
        """Offer a kept draft back and begin with the first empty field."""
        super().on_mount()
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        draft = self.slackwater.drafts.load(self.DRAFT)
        if draft and any(draft.values()):
            self.fill(draft)
            self.news("A draft was kept and is back; ctrl+x clears it.")
        fields = list(self.query(FormLine))
        empty = [line for line in fields if not line.value]
        if fields:
            (empty or fields)[0].field.focus()
        self.check()

    def values(self) -> dict[str, str]:
        """Return what is typed, by field."""
        return {line.field_name: line.value for line in self.query(FormLine)}

    def fill(self, values: Mapping[str, str]) -> None:
        """Put values into the fields that have them."""
        for line in self.query(FormLine):
            if line.field_name in values:
                line.value = values[line.field_name]

    def check(self) -> None:
        """Say at each field what is wrong with it; empty fields are not blamed before saving."""
        values = self.values()
        found, live = self.problems(values)
        self.show_problems([problem for problem in found if values.get(problem.field)])
        self.query_one("#live", TextLine).say(live)

    def show_problems(self, problems: Iterable[Problem]) -> None:
        """Show each problem at its field; those of no field in the news."""
        by_field: dict[str, str] = {}
        for problem in problems:
            by_field.setdefault(problem.field, problem.reason)
        for line in self.query(FormLine):
            line.say(by_field.pop(line.field_name, ""), bad=True)
        if by_field:
            self.news("; ".join(f"{field}: {reason}" for field, reason in by_field.items()), "bad")

    @on(Input.Changed)
    def _typed(self) -> None:
        self._asked = False
        values = self.values()
        self.slackwater.drafts.keep(self.DRAFT, values)
        self.check()

    @on(Input.Submitted)
    def _entered(self, message: Input.Submitted) -> None:
        message.stop()
        if self.focused is list(self.query(Field))[-1]:
            self.action_save()
        else:
            self.action_next_field()

    def action_next_field(self) -> None:
        """Go to the next field."""
        self.focus_next(Field)

    def action_previous_field(self) -> None:
        """Go to the field before."""
        self.focus_previous(Field)

    def action_save(self) -> None:
        """Save what is typed."""
        self._save(accept=False)

    def action_accept(self) -> None:
        """Save although it is implausible; only after having been asked."""
        if self._asked:
            self._save(accept=True)
        else:
            self.news("There is nothing to accept; ctrl+s saves.")

    def action_clear(self) -> None:
        """Empty the form."""
        self.slackwater.drafts.drop(self.DRAFT)
        fresh = {line.field_name: line for line in self.lines()}
        self.fill({name: line.value for name, line in fresh.items()})
        self.slackwater.drafts.drop(self.DRAFT)
        self.news("Cleared.")

    def _save(self, *, accept: bool) -> None:
        try:
            done = self.store_it(self.values(), accept=accept)
        except DecisionNeededError as error:
            self._asked = True
            self.news(f"{error}. ctrl+y accepts it as it is.", "bad")
        except EntryError as error:
            self.show_problems(error.problems)
            self.news(f"{len(error.problems)} to mend before it can be saved.", "bad")
        except SlackwaterError as error:
            self.news(str(error), "bad")
        else:
            self.saved(done)

    def saved(self, done: str) -> None:
        """Forget the draft and go back, saying what was done."""
        self.slackwater.drafts.drop(self.DRAFT)
        self.app.pop_screen()
        self.slackwater.follow(certainly=True)
        self.slackwater.news(done, "good")
