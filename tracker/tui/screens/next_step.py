"""Next: what to work on, what to leave, when to test and look again; and choosing otherwise."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from tracker.tui.drafts import draft_name
from tracker.tui.screens.form import FormScreen
from tracker.tui.screens.reading import ReadingScreen, Section
from tracker.tui.widgets.form_sheet import FormField


class NextScreen(ReadingScreen):
    """The proposal for one swimmer, with its reasons."""

    NAME = "Next"
    HINTS = (
        ("b", "choose another"),
        ("c", "cue or drill"),
        ("f", "a fault's step"),
        ("?", "all keys"),
        ("Escape", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "choose", "choose another fault, with a reason", show=False, id="choose"),
        Binding("D", "draw", "draw by lot whether to start now or in twelve weeks", show=False, id="draw"),
    ]

    def __init__(self, swimmer: str) -> None:
        super().__init__()
        self._for = swimmer

    def swimmer(self) -> str:
        """Return whom it is for."""
        return self._for

    def subject(self) -> str:
        """Return whom it is for."""
        return self._for

    def sections(self) -> Sequence[Section]:
        """Return the proposal, the steps of the test, and the cautions."""
        from tracker.output.css_words import css_sentence
        from tracker.output.link_words import link_lines
        from tracker.output.next_words import next_lines
        from tracker.output.safety import cautions
        from tracker.output.wording import headline
        from tracker.records.css import TRIAL_ERROR
        from tracker.usecases.fault_names import fault_names
        from tracker.usecases.propose_next import propose_next

        today = self.slackwater.today()
        found = propose_next(self.desk.store, self._for, as_of=today, settings=self.desk.settings)
        names = fault_names(self.desk.store)
        look_due = found.line.due.look_due(today)
        link = link_lines(found.line.link, names, today, look_due=look_due)
        sections: list[Section] = [
            ("", [headline(found.line.verdict), *link]),
            ("What to do", next_lines(found.step, names, today)),
        ]
        if found.test is not None and found.step.due.may_plan_test:
            sections.append(
                (f"The test: {found.test.name or found.test.test}", found.test.protocol.splitlines())
            )
        if found.css is not None:
            sections.append(("For sets", [f"{css_sentence(found.css, TRIAL_ERROR)}, on {found.css_date}."]))
        warned = cautions(found.step.cautions)
        return [*sections, ("Take care", warned)] if warned else sections

    def action_choose(self) -> None:
        """Decide otherwise."""
        self.app.push_screen(ChooseScreen(self._for))

    def action_draw(self) -> None:
        """Leave the start to the lot."""
        from tracker.tui.screens.draw import DrawScreen

        self.app.push_screen(DrawScreen(self._for))


class ChooseScreen(FormScreen):
    """A fault and why; both are kept."""

    NAME = "Choose what to work on"

    def __init__(self, swimmer: str) -> None:
        super().__init__(draft_name("choose", swimmer))
        self._for = swimmer

    def subject(self) -> str:
        """Return whom it is for."""
        return self._for

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:  # noqa: ARG002 (always the same)
        """Return the choice."""
        return (
            FormField("fault", "fault", "its short name"),
            FormField("side", "side", "left, right or empty"),
            FormField("reason", "reason", "kept beside the choice"),
        )

    def store_it(self, values: Mapping[str, str], *, accept: bool) -> str:  # noqa: ARG002 (nothing to accept)
        """Keep the choice."""
        from tracker.usecases.choose_fault import choose_fault

        choose_fault(
            self.desk.store,
            self._for,
            values["fault"],
            side=values["side"],
            reason=values["reason"],
            **self.written_by(),
        )
        return f"Chosen for {self._for}: {values['fault']}."
