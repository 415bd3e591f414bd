"""The club as one workbook (XLSX): a sheet a file, text as text, never a formula."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from tracker.errors import SlackwaterError
from tracker.model.about import CellForm, form_of
from tracker.model.club_layout import WRITER, ClubFile
from tracker.output.files import safe_cell
from tracker.output.whole_files import whole_file

NAME = "club.xlsx"
_MOST_ROWS = 1_048_575
_MOST_LETTERS = 32_767


class ClubWorkbook:
    """Collects the sheets and writes them at the end.

    Times stand as text ("6:45.2"): as numbers, spreadsheets take minutes for hours.
    """

    def __init__(self) -> None:
        from openpyxl import Workbook

        self._book = Workbook(write_only=True)
        self._book.properties.creator = WRITER

    def add(self, file: ClubFile, rows: Iterable[tuple[Any, ...]]) -> int:
        """Add one sheet; return how many rows.

        Raises
        ------
        SlackwaterError
            If a sheet can't hold so many rows, or a cell so long a text or such a character.
        """
        sheet = self._book.create_sheet(file.stem)
        sheet.append(list(file.columns))
        forms = [form_of(file.kind, field) for field in file.columns.values()]
        count = 0
        for row in rows:
            count += 1
            if count > _MOST_ROWS:
                raise SlackwaterError(f"a sheet holds {_MOST_ROWS} rows; export {file.stem} as csv")
            sheet.append(
                [_cell(sheet, value, form, file.stem) for value, form in zip(row, forms, strict=True)]
            )
        return count

    def discard(self) -> None:
        """Close the sheets and remove what they have put into temporary files."""
        for sheet in self._book.worksheets:
            sheet.close()
            sheet._writer.cleanup()  # type: ignore[attr-defined]  # noqa: SLF001 - no public way

    def write(self, folder: Path, *, force: bool = False) -> None:
        """Write the workbook."""
        with whole_file(folder / NAME, force=force) as stream:
            self._book.save(stream)


def _cell(sheet: Any, value: Any, form: CellForm, stem: str) -> Any:  # noqa: ANN401 - openpyxl's
    """Return a cell whose type is ours, not guessed from what it looks like."""
    from openpyxl.cell import WriteOnlyCell

    if value is None or form in {"date", "whole"}:
        return value
    if form == "number":
        cell = WriteOnlyCell(sheet, repr(value))
        cell.data_type = "n"  # given a float, openpyxl would write 16 digits of 17
        return cell
    text = safe_cell(value, form)
    if text.isspace():
        text = f"'{text}"  # readers of workbooks drop a cell of blanks
    _check(text, stem)
    cell = WriteOnlyCell(sheet, text)
    cell.data_type = "s"  # whatever it looks like: a formula, an error
    return cell if text else None


def _check(text: str, stem: str) -> None:
    if len(text) > _MOST_LETTERS:
        raise SlackwaterError(f"{stem}: a text is longer than a workbook's cell; export it as csv or jsonl")
    if any(letter in "\ufffe\uffff" for letter in text) or _looks_escaped(text):
        raise SlackwaterError(f"{stem}: a text holds what a workbook can't; export it as csv or jsonl")


def _looks_escaped(text: str) -> bool:
    """Return whether a workbook's readers would take a part of the text for an escaped character."""
    return re.search("_x[0-9A-Fa-f]{4}_", text) is not None
