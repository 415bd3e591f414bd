from __future__ import annotations

import datetime as dt
import zipfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from openpyxl import Workbook
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from tracker.entry.club_files import ClubTable, Reading, read_club_files
from tracker.entry.text_file import FileLimits
from tracker.errors import BadFileError
from tracker.remedies import SayClock

HEAD = ["date", "swimmer", "test", "distance_m", "time", "at"]
DAY = dt.date(2026, 5, 4)


def saved(tmp_path: Path, rows: Sequence[Sequence[Any]], formats: dict[str, str] | None = None) -> Path:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(list(row))
    for place, form in (formats or {}).items():
        sheet[place].number_format = form
    book.save(tmp_path / "results.xlsx")
    return tmp_path / "results.xlsx"


def read(file: Path, **how: Any) -> ClubTable:
    return read_club_files(file, Reading(**how))[0]


def time_of(tmp_path: Path, value: Any, form: str, **how: Any) -> ClubTable:
    return read(saved(tmp_path, [HEAD, [DAY, "Ana", "t400", 400, value, None]], {"E2": form}), **how)


def test_cells_of_all_kinds_are_read(tmp_path: Path) -> None:
    rows = [
        HEAD,
        [DAY, "Ana", "t400", 400, "6:45", None],
        [dt.datetime(2026, 5, 5, 10, 30, tzinfo=dt.UTC).replace(tzinfo=None), 123, "t400", 400.0, 405.2],
    ]
    table = read(saved(tmp_path, rows))
    assert [row[:5] for row in table.rows] == [
        (DAY, "Ana", "t400", 400.0, 405.0),
        (dt.date(2026, 5, 5), "123", "t400", 400.0, 405.2),
    ]


def test_minutes_typed_as_hours_are_asked_about(tmp_path: Path) -> None:
    """A spreadsheet takes 6:45 for hours and minutes (seen with openpyxl)."""
    asked = time_of(tmp_path, 0.28125, "h:mm")
    assert asked.rows == []
    assert asked.problems[0].remedy == SayClock(6, "45")
    assert time_of(tmp_path, 0.28125, "h:mm", clock="minutes").rows[0][4] == 405.0
    assert time_of(tmp_path, 0.28125, "h:mm", clock="hours").rows[0][4] == 24_300.0


def test_times_in_other_formats(tmp_path: Path) -> None:
    assert time_of(tmp_path, 0.00072106481, "mm:ss.0").rows[0][4] == 62.3
    assert "stands in the workbook as hours" in time_of(tmp_path, 1.5, "[h]:mm:ss").problems[0].reason
    assert time_of(tmp_path, "6:45", "General").rows[0][4] == 405.0


def test_a_time_of_day_is_one_where_that_is_wanted(tmp_path: Path) -> None:
    rows = [HEAD, [DAY, "Ana", "t400", 400, "6:45", 0.28125]]
    table = read(saved(tmp_path, rows, {"F2": "h:mm"}))
    assert table.rows[0][list(table.file.columns).index("at")] == "06:45"


@pytest.mark.parametrize("number", [60, -1, 45_000])
def test_day_numbers_that_are_no_days_are_refused(tmp_path: Path, number: int) -> None:
    form = "yyyy-mm-dd" if number < 1000 else "General"
    table = read(saved(tmp_path, [HEAD, [number, "Ana", "t400", 400, 405]], {"A2": form}))
    assert table.problems[0].field == "date"


def test_a_workbook_of_the_other_epoch_is_honoured(tmp_path: Path) -> None:
    book = Workbook()
    book.epoch = CALENDAR_MAC_1904
    assert book.active is not None
    book.active.append(HEAD)
    book.active.append([DAY, "Ana", "t400", 400, 405])
    book.save(tmp_path / "mac.xlsx")
    assert read(tmp_path / "mac.xlsx").rows[0][0] == DAY


def test_formulas_errors_and_hidden_sheets(tmp_path: Path) -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(HEAD)
    sheet.append([DAY, "Ana", "t400", 400, "=8-3"])
    sheet.append([DAY, "Ana", "t400", 400, 405])
    sheet["C3"].value, sheet["C3"].data_type = "#DIV/0!", "e"
    hidden = book.create_sheet("swims")
    hidden.sheet_state = "hidden"
    hidden.append(HEAD)
    hidden.append([DAY, "Secret", "t400", 400, 405])
    book.create_sheet("shopping").append(["milk", "eggs"])
    book.save(tmp_path / "x.xlsx")
    table = read(tmp_path / "x.xlsx")
    assert [str(problem) for problem in table.problems] == ["x.xlsx[Sheet]:2:time: is missing"]
    assert [row[1:3] for row in table.rows] == [("Ana", "")]
    assert any("shopping" in str(remark) for remark in table.remarks)


@pytest.mark.parametrize(
    ("start", "said"),
    [
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"0" * 600, "old or a locked"),
        (b"PK\x03\x04rubbish", "damaged"),
        (b"<html>", "no XLSX"),
    ],
)
def test_what_only_calls_itself_a_workbook_is_refused_by_name(
    tmp_path: Path, start: bytes, said: str
) -> None:
    (tmp_path / "x.xlsx").write_bytes(start)
    with pytest.raises(BadFileError, match=said):
        read(tmp_path / "x.xlsx")


def repacked(file: Path, part: str, content: bytes) -> Path:
    """Return a copy of a workbook with one part replaced."""
    made = file.with_name("made.xlsx")
    with zipfile.ZipFile(file) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            new.writestr(info.filename, content if info.filename == part else old.read(info))
    return made


SHEET = "xl/worksheets/sheet1.xml"
START = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'


def test_bombs_are_refused_before_they_are_parsed(tmp_path: Path) -> None:
    plain = saved(tmp_path, [HEAD])
    with pytest.raises(BadFileError, match="packed"):
        read(repacked(plain, SHEET, b"0" * 150_000_000))
    entity = b'<!DOCTYPE x [<!ENTITY a "b"><!ENTITY c "&a;&a;">]>' + START + b"</sheetData></worksheet>"
    with pytest.raises(BadFileError, match="DTD"):
        read(repacked(plain, SHEET, entity))
    corner = b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData></worksheet>'
    with pytest.raises(BadFileError, match=r"row 1048576|column XFD"):
        read(repacked(plain, SHEET, START + corner))
    wide = b'<row r="1"><c r="XFD1"><v>1</v></c></row></sheetData></worksheet>'
    with pytest.raises(BadFileError, match="column XFD"):
        read(repacked(plain, SHEET, START + wide))
    long = b"".join(b"<row><c><v>%d</v></c></row>" % place for place in range(300_000))
    with pytest.raises(BadFileError, match="more than 100000 rows"):
        read(repacked(plain, SHEET, START + long + b"</sheetData></worksheet>"))


def test_a_false_dimension_is_ignored(tmp_path: Path) -> None:
    file = saved(tmp_path, [HEAD, [DAY, "Ana", "t400", 400, 405]])
    with zipfile.ZipFile(file) as pack:
        sheet = pack.read(SHEET)
    lying = sheet.replace(b'ref="A1:F2"', b'ref="A1:XFD1048576"')
    assert lying != sheet
    assert len(read(repacked(file, SHEET, lying)).rows) == 1


def test_limits_count_for_workbooks_too(tmp_path: Path) -> None:
    rows = [HEAD] + [[DAY, "Ana", "t400", 400, 405]] * 9
    assert len(read(saved(tmp_path, rows), limits=FileLimits(rows=9)).rows) == 9
    with pytest.raises(BadFileError, match="row 10"):
        read(saved(tmp_path, rows), limits=FileLimits(rows=8))


def test_a_part_whose_name_is_no_utf8_though_it_says_so_is_refused(tmp_path: Path) -> None:
    """Found by 200,000 mangled workbooks."""
    book = tmp_path / "x.xlsx"
    with zipfile.ZipFile(book, "w") as pack:
        pack.writestr("xl/\u00e9.xml", b"<a/>")
    raw = book.read_bytes()
    assert raw.count("\u00e9".encode()) == 2
    book.write_bytes(raw.replace("\u00e9".encode(), b"\xed\x28"))
    with pytest.raises(BadFileError, match="damaged"):
        read_club_files(book, Reading())
