"""A form: fields that are checked as one types, drafts that survive a kill, one key that saves.

Enter goes to the next field, ctrl+s saves, Escape goes back and keeps what was typed. What is
possible but implausible is asked about, and accepted with another key than the one that saves.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterable, Mapping, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.errors import DecisionNeededError, EntryError, Problem, SlackwaterError
from tracker.remedies import Mend
from tracker.technique.practice_words import Caution
from tracker.tui.remedies import SCREENS, failure_words
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.form_sheet import FormField, FormSheet
from tracker.tui.widgets.lines import TextLine


class FormScreen(Frame):
    """Base of the forms."""

    HINTS: ClassVar[tuple[tuple[str, str], ...]] = (
        ("Enter", "next field"),
        ("ctrl+s", "save"),
        ("F8", "clear"),
        ("F1", "all keys"),
        ("Escape", "back"),
    )
    LABEL_CELLS: ClassVar[int] = 17
    LOGS: ClassVar[bool] = False
    """Whether what is saved is an entry of the swimmer named in the field "swimmer"."""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "save", "save", show=False, id="save"),
        Binding("ctrl+y", "accept", "accept what is implausible, and save", show=False, id="accept"),
        Binding("f8", "clear", "clear the form and its draft", show=False, id="clear-form"),
        Binding("f1", "app.keys", "all keys here", show=False),
    ]

    def __init__(self, draft: str) -> None:
        super().__init__()
        self.draft = draft
        self._asked = False

    @abstractmethod
    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:
        """Return the fields, which may depend on what is typed so far."""

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:  # noqa: ARG002
        """Return what is wrong with `values`, and what can be said about them while typing."""
        return (), ""

    def care(self, values: Mapping[str, str]) -> Sequence[Caution]:  # noqa: ARG002 (no form but some)
        """Return the codes of the cautions that what is typed calls for."""
        return ()

    @abstractmethod
    def submit(self, values: Mapping[str, str], *, accept: bool) -> str:
        """Save through a use-case and return what was done, in words."""

    @property
    def sheet(self) -> FormSheet:
        """The fields."""
        return self.query_one(FormSheet)

    def body(self) -> ComposeResult:
        """Yield the fields and the line that is said about all of them."""
        yield FormSheet(self.fields({}), label_cells=self.LABEL_CELLS, id="form")
        yield TextLine(id="hint", role="quiet")
        yield TextLine(id="live")

    def on_mount(self) -> None:
        """Bring a kept draft back and begin with the first empty field."""
        super().on_mount()
        self.sheet.focus_field()
        draft = self.slackwater.drafts.load(self.draft)
        if draft and any(draft.values()):
            self.sheet.fill(draft)
            self.sheet.go_to_first_empty()
            self.announce("A draft was kept and is back; F8 clears it.")
        self.check()

    def check(self) -> None:
        """Say at each field what is wrong with it; empty fields are not blamed before saving."""
        self.sheet.lay(self.fields(self.sheet.values))
        values = self.sheet.values
        found, live = self.problems(values)
        self.show_problems([problem for problem in found if values.get(problem.field)])
        self.query_one("#live", TextLine).say(" ".join((live, *self._cautions(values))).strip())
        self._hint()

    @on(FormSheet.Moved)
    def _hint(self) -> None:
        self.query_one("#hint", TextLine).say(self.sheet.hint, "quiet")

    def show_problems(self, problems: Iterable[Problem]) -> None:
        """Show each problem at its field; those of no field in the line above the keys."""
        by_field: dict[str, str] = {}
        for problem in problems:
            by_field.setdefault(problem.field, problem.why(SCREENS))
        known = self.sheet.values
        self.sheet.complain({name: reason for name, reason in by_field.items() if name in known})
        elsewhere = [f"{name}: {reason}" for name, reason in by_field.items() if name not in known]
        if elsewhere:
            self.announce("; ".join(elsewhere), "bad")

    @on(FormSheet.Edited)
    def _edited(self) -> None:
        self._asked = False
        self.slackwater.drafts.keep(self.draft, self.sheet.values)
        self.check()

    @on(FormSheet.Entered)
    def _entered(self) -> None:
        self.action_save()

    @on(FormSheet.Pasted)
    def _pasted(self, message: FormSheet.Pasted) -> None:
        self.take_column(message.name, message.lines)

    def take_column(self, name: str, lines: Sequence[str]) -> None:
        """Join a column pasted into a field; forms with rows for it do better."""
        self.sheet.fill({name: " ".join(lines)})

    def action_save(self) -> None:
        """Save what is typed."""
        self._save(accept=False)

    def action_accept(self) -> None:
        """Save although it is implausible; only after having been asked."""
        if self._asked:
            self._save(accept=True)
        else:
            self.announce("There is nothing to accept; ctrl+s saves.")

    def action_clear(self) -> None:
        """Empty the form and forget its draft."""
        self.sheet.fill(dict.fromkeys(self.sheet.values, "") | {f.name: f.value for f in self.fields({})})
        self.call_after_refresh(self.slackwater.drafts.drop, self.draft)
        self.announce("Cleared.")

    def _save(self, *, accept: bool) -> None:
        try:
            done = self.submit(self.sheet.values, accept=accept)
        except DecisionNeededError as error:
            self._asked = error.remedy is Mend.ACCEPT
            self.announce(failure_words(error), "bad")
        except EntryError as error:
            self.show_problems(error.problems)
            first = next((p.field for p in error.problems if p.field in self.sheet.values), "")
            self.sheet.go_to(first)
            said = (f"{self.sheet.label_of(one.field)}: {one.why(SCREENS)}" for one in error.problems)
            self.announce("; ".join(said), "bad")
        except SlackwaterError as error:
            self.announce(failure_words(error), "bad")
        else:
            self.saved(" ".join((f"{done}{self._archived()}", *self._cautions(self.sheet.values))))

    def _cautions(self, values: Mapping[str, str]) -> Sequence[str]:
        from tracker.output.cautions import cautions

        return cautions(self.care(values))

    def _archived(self) -> str:
        """Return a remark where the entry is of somebody put away, else ""."""
        from tracker.app.swimmers import archived_among
        from tracker.output.sentences.people import archived_note

        names = [self.sheet.values["swimmer"]] if self.LOGS else []
        return "".join(f" {archived_note(who, SCREENS)}" for who in archived_among(self.session, names))

    def saved(self, done: str) -> None:
        """Forget the draft and go back, saying what was done."""
        self.slackwater.drafts.drop(self.draft)
        self.app.pop_screen()
        self.slackwater.follow(certainly=True)
        self.slackwater.announce(done, "good")
