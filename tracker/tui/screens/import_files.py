"""Import a folder or a file of CSV: look first, with every doubtful row explained, then take or leave it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.app.import_club import ImportReport
from tracker.app.session import Session
from tracker.errors import Problem
from tracker.output.sentences.data import added_words
from tracker.output.sentences.numbers import count
from tracker.tui.drawing.roster_rows import Column, Row
from tracker.tui.remedies import SCREENS
from tracker.tui.screens.form import FormScreen
from tracker.tui.screens.frame import Frame
from tracker.tui.widgets.form_sheet import FormField
from tracker.tui.widgets.lines import TextLine
from tracker.tui.widgets.long_list import LongList

COLUMNS = (Column("", 9), Column("where", 18), Column("what", 40, 1))


class ImportScreen(FormScreen):
    """Which file or folder."""

    NAME = "Import"
    DRAFT = "import"
    FIELDS = (
        FormField("path", "file or folder", "a club folder, or one CSV file"),
        FormField("dates", "date order", "empty for YYYY-MM-DD, else d.m.y or m/d/y"),
        FormField("swimmer", "whose swims", "where no column says; empty is the only swimmer"),
        FormField("test", "test", "which was swum, where no column says"),
        FormField("course", "course", "where no column says; empty is the usual pool"),
    )

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Say whether it is there."""
        path = values["path"]
        if path and not Path(path).expanduser().exists():
            return (Problem("path", path, "is not there"),), ""
        return (), "Nothing is stored before you have seen what would be."

    def submit(self, values: Mapping[str, str]) -> str:
        """Store nothing yet: look first, and return what stands for what was found."""
        path = Path(values["path"]).expanduser()
        report = _import(self.session, path, values, dry_run=True)
        self._preview = ImportPreviewScreen(path, values, report)
        return ""

    def saved(self, done: str) -> None:  # noqa: ARG002 (it is shown, not said)
        """Show what was found; the form stays, for another file."""
        self.app.push_screen(self._preview)


class ImportPreviewScreen(Frame):
    """Refused rows, doubtful swims, remarks, new swimmers; then yes or no."""

    NAME = "Import: what would happen"
    HINTS = (("ctrl+s", "take it in"), ("?", "all keys"), ("Escape", "leave it"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "take", "take it in, as one change", show=False, id="import"),
    ]

    def __init__(self, path: Path, values: Mapping[str, str], report: ImportReport) -> None:
        super().__init__()
        self._path, self._values, self._report = path, values, report

    def subject(self) -> str:
        """Return what is imported."""
        return self._path.name

    def body(self) -> ComposeResult:
        """Yield the counts and the rows that need a look."""
        yield TextLine(id="sentence")
        yield LongList(COLUMNS, id="rows", empty="every row is fine")
        yield TextLine(id="doubt", role="quiet")

    def on_mount(self) -> None:
        """Keys go to the list."""
        super().on_mount()
        self.query_one(LongList).focus()

    def reload(self) -> None:
        """Write what was found."""
        report = self._report
        self.query_one("#sentence", TextLine).say(
            f"{added_words(report.added)}; {count(report.known, 'row')} known already, "
            f"{report.refused} refused, "
            f"{len(report.doubts)} doubtful (stored, but they don't count until you decide)."
        )
        rows = preview_rows(report)
        self.query_one(LongList).show(rows)
        if rows:
            self._moved(LongList.Moved(self.query_one(LongList), rows[0].key))

    @on(LongList.Moved)
    def _moved(self, message: LongList.Moved) -> None:
        row = next(row for row in self.query_one(LongList).rows if row.key == message.key)
        self.query_one("#doubt", TextLine).say(" ".join(text for text in row.texts if text), "quiet")

    def action_take(self) -> None:
        """Take it in; one undo takes it back."""
        if self._report.unread:
            self.announce(f"{self._report.unread.worded(SCREENS)}.", "bad")
            return
        done = self.slackwater.change(
            lambda: _import(self.session, self._path, self._values, dry_run=False), ""
        )
        if done:
            self.slackwater.drafts.drop("import")
            self.app.pop_screen()
            self.app.pop_screen()
            self.slackwater.announce(f"Imported {self._path.name}; 'u' takes it back.", "good")


def _import(session: Session, path: Path, values: Mapping[str, str], *, dry_run: bool) -> ImportReport:
    """Import as the form's values say."""
    from tracker.app.import_club import import_club

    return import_club(
        session,
        path,
        dry_run=dry_run,
        date_format=values["dates"] or None,
        swimmer=values["swimmer"],
        test=values["test"],
        course=values["course"],
    )


def preview_rows(report: ImportReport) -> list[Row]:
    """Return a row for everything that needs a look, the refused first."""
    from tracker.output.cautions import cautions_of_many
    from tracker.output.sentences.doubts import doubt_sentence

    found = [("refused", _where(p), f"{p.field}: {p.reason_in(SCREENS)}", "bad") for p in report.problems]
    found += [
        (
            "doubtful",
            f"{one.file}:{one.row}",
            f"{one.swim.swimmer}, {one.swim.date}: "
            + "; ".join(doubt_sentence(doubt) for doubt in one.doubts),
            "plateau",
        )
        for one in report.doubts
    ]
    found += [("new", "", f"swimmer {name} is made", "") for name in report.created]
    found += [("similar", "", f"{new} looks like {old}; they stay two", "") for new, old in report.similar]
    found += [
        (
            "note",
            _where(p),
            f"{p.field}: {p.reason_in(SCREENS)}" if p.field else p.reason_in(SCREENS),
            "quiet",
        )
        for p in report.remarks
    ]
    found += [("care", "", text, "plateau") for text in cautions_of_many(report.cautions)]
    return [
        Row(str(index), (kind, where, what), (role, "quiet", ""))
        for index, (kind, where, what, role) in enumerate(found)
    ]


def _where(problem: Problem) -> str:
    return f"{problem.file}:{problem.row}" if problem.row is not None else problem.file
