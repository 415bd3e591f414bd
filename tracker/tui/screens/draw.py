"""Draw by lot who starts on a correction now and who in twelve weeks; what it could show is said before."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType

from tracker.errors import UsageError
from tracker.tui.screens.reading import ReadingScreen, Section

if TYPE_CHECKING:
    from tracker.output.link_words import FaultNames
    from tracker.usecases.draw_starts import Planned


class DrawScreen(ReadingScreen):
    """Whom a draw would take, what it could show, and what was drawn before."""

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
        self._planned: Planned | None = None

    def swimmer(self) -> str:
        """Return whom alone it is about, or ""."""
        return self._for

    def subject(self) -> str:
        """Return whom alone it is about, or everybody."""
        return self._for or "everybody"

    def sections(self) -> Sequence[Section]:
        """Return the plan, and the draws on record."""
        from tracker.output.link_words import fault_name
        from tracker.output.next_words import drawn_line
        from tracker.usecases.draw_starts import draws_on_record
        from tracker.usecases.fault_names import fault_names

        today = self.slackwater.today()
        names = fault_names(self.desk.store)
        drawn = [
            drawn_line(one.swimmer, fault_name(one.fault, one.side, names), one.starts, today)
            for one in draws_on_record(self.desk.store, as_of=today, name=self._for)
        ]
        return [*self._plan(names), *([("Drawn so far", drawn)] if drawn else [])]

    def _plan(self, names: FaultNames) -> list[Section]:
        from tracker.output.link_words import fault_name
        from tracker.output.next_words import power_words
        from tracker.output.numbers import capital
        from tracker.usecases.draw_starts import plan_draw

        self._planned = None
        try:
            planned = plan_draw(
                self.desk.store,
                as_of=self.slackwater.today(),
                settings=self.desk.settings,
                name=self._for or None,
            )
        except UsageError as nobody:
            return [("", [f"{capital(str(nobody))}."])]
        self._planned = planned
        whom = [f"{who}: {fault_name(fault, side, names)}" for who, fault, side in planned.proposed]
        return [
            ("", [power_words(len(planned.proposed), planned.smallest)]),
            ("Whom it would take", whom),
        ]

    def action_draw(self) -> None:
        """Draw; one undo takes the whole draw back."""
        import numpy as np

        from tracker.output.numbers import count
        from tracker.usecases.draw_starts import draw_starts

        planned = self._planned
        if planned is None:
            self.news("There is nobody to draw.")
            return
        self.slackwater.change(
            lambda: draw_starts(
                self.desk.store,
                planned.proposed,
                np.random.default_rng(),
                as_of=self.slackwater.today(),
                who=self.desk.who,
                at=self.slackwater.now(),
            ),
            f"Drawn for {count(len(planned.proposed), 'swimmer')}; 'u' takes it back.",
        )
