"""A form: fields that are checked as one types, drafts that survive a kill, one key that saves.

Enter goes to the next field, ctrl+s saves, Escape goes back and keeps what was typed. What is
possible but implausible is asked about, and accepted with another key than the one that saves.
"""

from __future__ import annotations

from abc import abstractmethod
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import ClassVar, Final

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.errors import DecisionNeededError, EntryError, Problem, SlackwaterError, UnknownNameError
from tracker.model.about import RecordField, fields_of, in_form_order
from tracker.model.base import Record
from tracker.model.practices import Caution
from tracker.remedies import Mend
from tracker.technique.cautions import FREE_TEXT
from tracker.tui.drafts import draft_name
from tracker.tui.remedies import SCREENS, failure_words
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.form_sheet import FormField, FormSheet
from tracker.tui.widgets.lines import TextLine

NOTHING: Final[Mapping[str, str]] = MappingProxyType({})


class FormScreen(Frame):
    """Base of the forms.

    `begun` is what stands in the fields at first; `of` tells the drafts of one form apart that is opened
    for several things.
    """

    HINTS: ClassVar[tuple[tuple[str, str], ...]] = (
        ("Enter", "next field"),
        ("ctrl+s", "save"),
        ("F8", "clear"),
        ("F1", "all keys"),
        ("Escape", "back"),
    )
    LABEL_CELLS: ClassVar[int] = 17
    DRAFT: ClassVar[str] = ""
    """The name of its drafts."""
    FIELDS: ClassVar[tuple[FormField, ...]] = ()
    """Its fields, where they are always the same."""
    SAID: ClassVar[tuple[str, ...]] = ()
    """The fields whose words may call for cautions."""
    LOGS: ClassVar[bool] = False
    """Whether what is saved is an entry of the swimmer named in the field "swimmer"."""
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "save", "save", show=False, id="save"),
        Binding("ctrl+y", "accept", "accept what is implausible, and save", show=False, id="accept"),
        Binding("f8", "clear", "clear the form and its draft", show=False, id="clear-form"),
        Binding("f1", "app.keys", "all keys here", show=False),
    ]

    def __init__(self, swimmer: str = "", *, of: str = "", begun: Mapping[str, str] = NOTHING) -> None:
        super().__init__()
        self.draft = f"{self.DRAFT}-{of}" if of else draft_name(self.DRAFT, swimmer)
        self._for, self._begun = swimmer, begun
        self._asked = self.accepted = False

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (some depend on it)
        """Return the fields, which may depend on what is typed so far."""
        return [replace(field, value=self._begun.get(field.name, field.value)) for field in self.FIELDS]

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:  # noqa: ARG002
        """Return what is wrong with `values`, and what can be said about them while typing."""
        return (), ""

    def care(self, values: Mapping[str, str]) -> Sequence[Caution]:
        """Return the codes of the cautions that what is typed calls for."""
        from tracker.technique.cautions import codes_in

        return codes_in(values.get(name, "") for name in self.SAID)

    @abstractmethod
    def submit(self, values: Mapping[str, str]) -> str:
        """Save through a use-case and return what was done, in words.

        `accepted` says whether a person has said that it is right although it looks implausible.
        """

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
        """Bring a saved draft back and begin with the first empty field."""
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
        said = (self._meant(values.get("swimmer", "")), live, *self.said_of_care(values))
        self.query_one("#live", TextLine).say(" ".join(said).strip())
        self._hint()

    def _meant(self, typed: str) -> str:
        """Say who is meant where a part of the name is typed; "" where it is the label, or nobody yet."""
        from tracker.app.swimmers import label_meant

        label = label_meant(self.session, typed) if typed and "swimmer" in self.sheet.values else ""
        return "" if label in {"", typed} else f"Swimmer: {label}."

    @on(FormSheet.Moved)
    def _hint(self) -> None:
        self.query_one("#hint", TextLine).say(self.sheet.hint, "quiet")

    def show_problems(self, problems: Iterable[Problem]) -> None:
        """Show each problem at its field; those of no field in the line above the keys."""
        by_field: dict[str, str] = {}
        for problem in problems:
            by_field.setdefault(problem.field, problem.reason_in(SCREENS))
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
        self.accepted = accept
        try:
            done = self.submit(self.sheet.values)
        except DecisionNeededError as error:
            self._asked = error.remedy is Mend.ACCEPT
            self.announce(failure_words(error), "bad")
        except EntryError as error:
            self.show_problems(error.problems)
            first = next((p.field for p in error.problems if p.field in self.sheet.values), "")
            self.sheet.go_to(first)
            said = (f"{self.sheet.label_of(one.field)}: {one.reason_in(SCREENS)}" for one in error.problems)
            self.announce("; ".join(said), "bad")
        except SlackwaterError as error:
            self.announce(failure_words(error), "bad")
        else:
            self.saved(" ".join((f"{done}{self._archived()}", *self.said_of_care(self.sheet.values))))

    def said_of_care(self, values: Mapping[str, str]) -> Sequence[str]:
        """Return the cautions that what is typed calls for, in words."""
        from tracker.output.cautions import cautions

        return cautions(self.care(values))

    def _archived(self) -> str:
        """Return a remark where the entry is about an archived swimmer, else ""."""
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


class RecordForm(FormScreen):
    """A form with the fields of a record, as the record declares them."""

    KIND: ClassVar[type[Record]]
    WITHOUT: ClassVar[tuple[str, ...]] = ()
    """The record's own names of fields that are not asked for."""
    BEGUN: ClassVar[Mapping[str, str]] = NOTHING
    """What stands in fields at first."""
    SAID = FREE_TEXT

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:
        """Return whose it is, what the screen asks for itself, and the fields of the record."""
        asked = "swimmer" in fields_of(self.KIND) and "swimmer" not in self.WITHOUT
        whose = (FormField("swimmer", "swimmer", value=self._for),) if asked else ()
        return (
            *whose,
            *super().fields(values),
            *(FormField(f.name, f.label, self.hint(f), self.begins(f)) for f in self.asked(values)),
        )

    def asked(self, values: Mapping[str, str]) -> Sequence[RecordField]:  # noqa: ARG002 (some depend on it)
        """Return the fields of the record that are asked for."""
        return in_form_order(self.KIND, *self.WITHOUT)

    def hint(self, field: RecordField) -> str:
        """Return how a field is typed."""
        return field.first_hint

    def begins(self, field: RecordField) -> str:
        """Return what stands in a field at first."""
        return self._begun.get(field.name, self.BEGUN.get(field.name, ""))

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Say what is on record of the swimmer beside what is typed, or that nobody is called so."""
        name = values.get("swimmer", "")
        try:
            return (), self.beside(name) if name else ""
        except UnknownNameError as error:
            return (Problem("swimmer", name, failure_words(error)),), ""

    def beside(self, swimmer: str) -> str:  # noqa: ARG002 (some have nothing to say)
        """Return what is on record of a swimmer and helps to fill the form; raises `UnknownNameError`."""
        return ""

    def form(self, values: Mapping[str, str]) -> dict[str, str]:
        """Return what is typed as a use-case takes it: of several texts each in a line of its own."""
        several = {field.name for field in fields_of(self.KIND).values() if field.about.typed == "lines"}
        return {
            name: "\n".join(part.strip() for part in text.split(";")) if name in several else text
            for name, text in values.items()
        }
