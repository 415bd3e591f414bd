"""Why: what a verdict rests on, in the same sentences as everywhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tracker.tui.screens.reading import ReadingScreen, Section


class WhyScreen(ReadingScreen):
    """The evidence of one swimmer."""

    NAME = "Why"

    def __init__(self, swimmer: str) -> None:
        super().__init__()
        self._for = swimmer

    def swimmer(self) -> str:
        """Return the swimmer explained."""
        return self._for

    def subject(self) -> str:
        """Return the swimmer explained."""
        return self._for

    def stages(self) -> Iterator[Sequence[Section]]:
        """Yield the reasons at once, then the closer look too: other priors, second opinions, rhythms."""
        from tracker.usecases.explain import explain_in_stages

        today, settings = self.slackwater.today(), self.desk.settings
        return explain_in_stages(self.desk.store, self._for, as_of=today, settings=settings)
