"""Did it help: the effects of corrections, cues and drills over the roster, with grades."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.tui.screens.reading import ReadingScreen, Section


class EffectsScreen(ReadingScreen):
    """All kinds of change, then those by fault side by side."""

    NAME = "Did it help"

    def sections(self) -> Sequence[Section]:
        """Return a line a kind of change, and how it was compared."""
        from tracker.output.effect_words import HOW_COMPARED, effect_line, shrunk_lines
        from tracker.usecases.fault_names import fault_names
        from tracker.usecases.weigh_effects import weigh_effects

        found = weigh_effects(self.desk.store, as_of=self.slackwater.today(), settings=self.desk.settings)
        names = fault_names(self.desk.store)
        lines = [effect_line(effect, names) for effect in found.all]
        sections: list[Section] = [("", lines or ["No correction, cue or drill is on record yet."])]
        side_by_side = list(shrunk_lines(found.side_by_side, names))
        if side_by_side:
            sections.append(("By fault, drawn towards none", side_by_side))
        return [*sections, ("How it was compared", [HOW_COMPARED])]
