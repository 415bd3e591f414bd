"""What to work on next, and randomised starts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from tracker.errors import UsageError
from tracker.model.swimmer import Choice
from tracker.tui.remedies import failure_words
from tracker.tui.screens.detail import NEIGHBOURS
from tracker.tui.screens.form import RecordForm
from tracker.tui.screens.reading import ReadingOfOne, ReadingScreen, Section

if TYPE_CHECKING:
    from tracker.app.choices import DrawPlan
    from tracker.output.sentences.link import FaultNames


class NextScreen(ReadingOfOne):
    """The proposal for one swimmer, with its reasons."""

    NAME = "Next"
    HINTS = (
        ("b", "choose another"),
        ("c", "cue or drill"),
        ("f", "a fault's step"),
        NEIGHBOURS,
        ("?", "all keys"),
        ("Escape", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("b", "choose", "choose another fault, with a reason", show=False, id="choose"),
        Binding("D", "draw", "draw by lot whether to start now or in twelve weeks", show=False, id="draw"),
    ]

    def sections(self) -> Sequence[Section]:
        """Return the proposal, the steps of the test, and the cautions."""
        from tracker.app.faults import fault_names
        from tracker.app.next_step import propose_next
        from tracker.output.cautions import step_cautions
        from tracker.output.sentences.age import age_line
        from tracker.output.sentences.data import css_sentence
        from tracker.output.sentences.link import link_lines
        from tracker.output.sentences.next_step import next_lines, no_sets, test_title
        from tracker.output.sentences.verdict import line_headline

        today = self.slackwater.today()
        found = propose_next(self.session, self._for)
        names = fault_names(self.session)
        look_due = found.line.due.look_due(today)
        link = link_lines(found.line.link, names, today, look_due=look_due)
        sections: list[Section] = [
            ("", [line_headline(found.line), *filter(None, [age_line(found.line.age)]), *link]),
            ("What to do", next_lines(found.step, names, today)),
        ]
        if found.test is not None and found.step.due.may_plan_test:
            sections.append(
                (
                    test_title(found.test.name or found.test.test, shorter=found.shorter),
                    found.test.protocol.splitlines(),
                )
            )
        if found.css is not None:
            own = found.line.verdict.own_noise if found.line.verdict else None
            said = f"{css_sentence(found.css, own=own)}, on {found.css_date}."
            why = no_sets(found.step.due)
            sections.append(("For sets", [said, *([f"Set paces: {why}"] if why else [])]))
        warned = step_cautions(found.step)
        return [*sections, ("Take care", warned)] if warned else sections

    def action_choose(self) -> None:
        """Decide otherwise."""
        self.app.push_screen(ChooseScreen(self._for))

    def action_draw(self) -> None:
        """Randomise the start."""
        self.app.push_screen(DrawScreen(self._for))


class ChooseScreen(RecordForm):
    """A fault and the reason; both are stored."""

    NAME = "Choose what to work on"
    DRAFT = "choose"
    KIND = Choice
    WITHOUT = ("swimmer",)

    def subject(self) -> str:
        """Return the swimmer it is for."""
        return self._for

    def submit(self, values: Mapping[str, str]) -> str:
        """Store the choice."""
        from tracker.app.choices import choose_fault

        choose_fault(self.session, self._for, values["fault"], side=values["side"], reason=values["reason"])
        return f"Chosen for {self._for}: {values['fault']}."


class DrawScreen(ReadingScreen):
    """The swimmers a draw would take, what it could show, and earlier draws."""

    NAME = "Draw by lot"
    HINTS = (
        ("ctrl+s", "draw and keep it"),
        ("↓ j", "down"),
        ("?", "all keys"),
        ("Escape", "leave it"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "draw", "draw and keep it, as one change", show=False, id="draw"),
    ]

    def __init__(self, swimmer: str = "") -> None:
        super().__init__()
        self._for = swimmer
        self._planned: DrawPlan | None = None

    def swimmer(self) -> str:
        """Return the one swimmer it is about, or ""."""
        return self._for

    def subject(self) -> str:
        """Return the one swimmer it is about, or everybody."""
        return self._for or "everybody"

    def sections(self) -> Sequence[Section]:
        """Return the plan, and the draws on record."""
        from tracker.app.choices import draws_on_record
        from tracker.app.faults import fault_names
        from tracker.output.sentences.link import fault_name
        from tracker.output.sentences.next_step import drawn_line

        today = self.slackwater.today()
        names = fault_names(self.session)
        drawn = [
            drawn_line(one.swimmer, fault_name(one.fault, one.side, names), one.starts, today)
            for one in draws_on_record(self.session, name=self._for)
        ]
        return [*self._plan(names), *([("Drawn so far", drawn)] if drawn else [])]

    def _plan(self, names: FaultNames) -> list[Section]:
        from tracker.app.choices import plan_draw
        from tracker.output.sentences.link import fault_name
        from tracker.output.sentences.next_step import power_words
        from tracker.output.sentences.numbers import capital

        self._planned = None
        try:
            planned = plan_draw(self.session, name=self._for or None)
        except UsageError as nobody:
            return [("", [f"{capital(failure_words(nobody))}."])]
        self._planned = planned
        whom = [f"{who}: {fault_name(fault, side, names)}" for who, fault, side in planned.proposed]
        return [
            ("", [power_words(len(planned.proposed), planned.smallest)]),
            ("Whom it would take", whom),
        ]

    def action_draw(self) -> None:
        """Draw; one undo takes the whole draw back."""
        import numpy as np

        from tracker.app.choices import draw_starts
        from tracker.output.sentences.numbers import count

        planned = self._planned
        if planned is None:
            self.announce("There is nobody to draw.")
            return
        self.slackwater.change(
            lambda: draw_starts(self.session, planned.proposed, np.random.default_rng()),
            f"Drawn for {count(len(planned.proposed), 'swimmer')}; 'u' takes it back.",
        )
