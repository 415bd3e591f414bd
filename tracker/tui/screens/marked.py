"""What is done with the swimmers marked on the roster: leave them until a date, export them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from tracker.output.sentences.numbers import count
from tracker.tui.remedies import SCREENS
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField


class _MarkedForm(FormScreen):
    """Base of the forms about one or several swimmers."""

    def __init__(self, names: Sequence[str], *, begun: Mapping[str, str] | None = None) -> None:
        super().__init__(begun=begun or {})
        self._names = tuple(names)

    def subject(self) -> str:
        """Return whom it is about."""
        one = len(self._names) == 1
        return self._names[0] if one else f"{count(len(self._names), 'swimmer')}: {', '.join(self._names)}"


class LeaveScreen(_MarkedForm):
    """Until when, what, why."""

    NAME = "Leave until a date"
    DRAFT = "leave"
    FIELDS = (
        FormField("until", "until", "the day it is asked for again; today ends it"),
        FormField("what", "what", "test or look; empty is everything"),
        FormField("reason", "why", "needed where everything is left"),
    )

    def submit(self, values: Mapping[str, str]) -> str:
        """Leave them, as one change."""
        from tracker.app.leave import leave_until
        from tracker.output.sentences.leave import left_words

        left = leave_until(
            self.session, self._names, values["until"], what=values["what"], reason=values["reason"]
        )
        return left_words(left, self.slackwater.today())


class ExportMarkedScreen(_MarkedForm):
    """The folder under which each gets one."""

    NAME = "Export people"
    DRAFT = "export-marked"
    FIELDS = (FormField("folder", "folder", "each gets a folder of their own in it; health stays out"),)

    def submit(self, values: Mapping[str, str]) -> str:
        """Write the folders."""
        from tracker.app.marked import export_several
        from tracker.errors import EntryError, Problem

        if not values["folder"].strip():
            raise EntryError((Problem("folder", "", "is missing"),))
        folder = Path(values["folder"]).expanduser()
        done = export_several(self.session, self._names, folder, wording=SCREENS)
        return f"{count(len(done), 'folder is', 'folders are')} in {folder}."
