from __future__ import annotations

import datetime as dt
import os
from pathlib import Path

import pytest

from tracker.entry.club_files import ClubTable, Reading, is_ours, read_club_files
from tracker.entry.headers import read_column_map
from tracker.entry.text_file import FileLimits
from tracker.errors import BadFileError
from tracker.model.club_layout import FILES, MARK, WRITER
from tracker.remedies import Mend

HEAD = "date,swimmer,test,distance_m,time\n"


def read(
    tmp_path: Path, text: str | bytes, name: str = "swims.csv", reading: Reading | None = None
) -> ClubTable:
    file = tmp_path / name
    if isinstance(text, str):
        text = text.encode()
    file.write_bytes(text)
    return read_club_files(file, reading or Reading())[0]


def value(table: ClubTable, column: str, row: int = 0) -> object:
    return table.rows[row][list(table.file.columns).index(column)]


def reasons(table: ClubTable) -> list[str]:
    return [str(problem) for problem in table.problems]


def test_a_row_becomes_values_of_the_records_types(tmp_path: Path) -> None:
    table = read(tmp_path, HEAD + "2026-05-04,Ana Prova,t400,400,6:45.2\n")
    assert table.rows[0][:5] == (dt.date(2026, 5, 4), "Ana Prova", "t400", 400.0, 405.2)
    assert value(table, "course") == "SCM"
    assert table.numbers == [2]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_file_is_known_by_its_header_whatever_its_name(tmp_path: Path, file: object) -> None:
    head = ",".join(file.columns)  # type: ignore[attr-defined]
    assert read(tmp_path, f"{head}\n", "anything.csv").file is file


def test_surnames_that_look_like_nothing_stay_text(tmp_path: Path) -> None:
    """pandas reads four of them as missing (seen)."""
    names = ["NA", "Null", "None", "nan", "True", "N/A", "1e5"]
    table = read(tmp_path, HEAD + "".join(f"2026-05-04,{name},t400,400,405\n" for name in names))
    assert [row[1] for row in table.rows] == names


@pytest.mark.parametrize(
    "time",
    [
        "1:62.3",
        "1:2:3:4",
        "-1:02",
        "0",
        "",
        ":30",
        "1:",
        "1:02.3.4",
        "one",
        "nan",
        "inf",
        "1e309",
        "1_000",
        "١٢",
        "１２",
    ],
)
def test_what_is_no_time_is_refused_with_its_place(tmp_path: Path, time: str) -> None:
    table = read(tmp_path, HEAD + f"2026-05-04,Ana,t400,400,{time}\n")
    assert table.rows == []
    assert reasons(table)[0].startswith("swims.csv:2:time: ")


@pytest.mark.parametrize(
    "day", ["01/02/2026", "2026-02-30", "2026-13-01", "26-1-2", "0001-01-01", "2026-W01-1", ""]
)
def test_what_is_no_date_is_refused(tmp_path: Path, day: str) -> None:
    table = read(tmp_path, HEAD + f"{day},Ana,t400,400,405\n")
    assert reasons(table)[0].startswith("swims.csv:2:date: ")


def test_an_order_of_dates_is_taken_when_named(tmp_path: Path) -> None:
    table = read(tmp_path, HEAD + "01/02/2026,Ana,t400,400,405\n", reading=Reading(date_order="dmy"))
    assert table.rows[0][0] == dt.date(2026, 2, 1)


def test_all_that_is_wrong_in_a_row_is_reported(tmp_path: Path) -> None:
    table = read(tmp_path, "date,swimmer,test,distance_m,time,effort,suit\n2026-02-30,,t400,-5,x,11,cape\n")
    assert {problem.field for problem in table.problems} == {
        "date",
        "swimmer",
        "distance_m",
        "time",
        "effort",
        "suit",
    }
    assert {problem.row for problem in table.problems} == {2}


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_dialects_of_semicolons_commas_and_encodings(tmp_path: Path, encoding: str) -> None:
    text = "Datum;Name;Strecke;Zeit\n01.02.2026;Zoë;400;5:02,3\n"
    table = read(tmp_path, text.encode(encoding), "mine.csv", Reading(date_order="dmy"))
    assert table.rows[0][:5] == (dt.date(2026, 2, 1), "Zoë", "", 400.0, 302.3)
    assert any("Windows-1252" in str(remark) for remark in table.remarks) == (encoding == "cp1252")
    assert any("read as 'time'" in str(remark) for remark in table.remarks)


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_all_line_ends(tmp_path: Path, end: str) -> None:
    table = read(
        tmp_path, (HEAD + "2026-05-04,Ana,t400,400,405\n\n2026-05-05,Ana,t400,400,404\n").replace("\n", end)
    )
    assert len(table.rows) == 2
    assert table.problems == []


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "is empty"),
        ("\n\n", "is empty"),
        ("date,swimmer,date,time,test\n", "two columns are 'date'"),
        ("colour,taste\nred,sweet\n", "not one of ours"),
        (HEAD + '2026-05-04,"Ana,t400,400,405\n', "never closed"),
        (HEAD + '2026-05-04,"A"na,t400,400,405\n', "quotes do not match"),
        (HEAD + "2026-05-04," + "A" * 10_000_000 + ",t400,400,405\n", "longer than 100 kB"),
        (b"\x80\x04\x95\x00\x00\x00\x00\x00\x00\x00pickle", "not a text file"),
        (b"\xff\xfe\x00", "not a text file"),
        (b"name\x81\x8d,time\n", "not a text file"),
    ],
    ids=[
        "nothing",
        "blank",
        "twice",
        "foreign",
        "unclosed",
        "quotes",
        "huge cell",
        "pickle",
        "cut mark",
        "no letters",
    ],
)
def test_a_file_that_cannot_be_read_is_refused_whole(tmp_path: Path, text: str | bytes, said: str) -> None:
    with pytest.raises(BadFileError, match=said):
        read(tmp_path, text)


def test_a_header_alone_is_an_empty_file_of_its_kind(tmp_path: Path) -> None:
    assert read(tmp_path, HEAD).rows == []


def test_a_ragged_row_is_refused_and_the_rest_read(tmp_path: Path) -> None:
    table = read(
        tmp_path, HEAD + "2026-05-04,Ana,t400\n2026-05-04,Ana,t400,400,405\n2026-05-04,Ana,t400,400,405,9\n"
    )
    assert table.numbers == [3]
    assert reasons(table) == [
        "swims.csv:2: the row has 3 cells, the header 5",
        "swims.csv:4: the row has 6 cells, the header 5",
    ]


def test_a_quoted_line_break_stays_in_a_note(tmp_path: Path) -> None:
    table = read(tmp_path, 'date,swimmer,test,time,note\n2026-05-04,Ana,t400,405,"a\r\nb"\n')
    assert value(table, "note") == "a\nb"


@pytest.mark.parametrize(
    "text", ["\x9b2JAna", "\x1b[2J", "a\x08b", "a\x00b", "\x1b]52;c;ZWJi\x07Ana", "A\u202eb"]
)
def test_control_characters_are_replaced_and_reported(tmp_path: Path, text: str) -> None:
    """CWE-150, on the way in by file."""
    table = read(tmp_path, "date,swimmer,test,time,note\n" + f"2026-05-04,Ana,t400,405,{text}\n" * 2)
    note = str(value(table, "note"))
    assert "\N{REPLACEMENT CHARACTER}" in note
    assert not any(ord(letter) < 32 or 0x7F <= ord(letter) < 0xA0 or letter == "\u202e" for letter in note)
    assert [one.row for one in table.remarks if "control characters" in one.reason] == [2, 3]


def test_distance_and_time_are_taken_from_the_test(tmp_path: Path) -> None:
    table = read(
        tmp_path,
        "date,swimmer,test,distance_m,time,course\n"
        "2026-05-04,Ana,t400,,405,SCM\n2026-05-04,Ana,t400,,405,SCY\n2026-05-04,Ana,t30,1480,,LCM\n"
        "2026-05-04,Ana,css,,405,SCM\n2026-05-04,Ana,400,,405,SCM\n",
    )
    assert [row[3:5] for row in table.rows] == [
        (400.0, 405.0),
        (pytest.approx(365.76), 405.0),
        (1480.0, 1800.0),
    ]
    assert reasons(table) == [
        "swims.csv:5:distance_m: is missing, and the test does not say it",
        "swims.csv:6:distance_m: is missing, and no test is called '400'",
    ]
    assert [problem.remedy for problem in table.problems] == [None, Mend.SEE_TESTS]


def test_a_map_names_columns_orders_units_and_fixed_values(tmp_path: Path) -> None:
    mapping = tmp_path / "map.toml"
    mapping.write_text(
        'file = "swims"\ndate_format = "mdy"\ndistance_unit = "yards"\n'
        '[columns]\n"When" = "date"\n"Lane mate" = "swimmer"\n"Result" = "time"\n"Yd" = "distance_m"\n'
        '[fixed]\ncourse = "SCY"\n'
    )
    reading = Reading(columns=read_column_map(mapping))
    table = read(
        tmp_path,
        "When,Lane mate,Yd,Result,Mood\n5/4/2026,Ana,400,5:40\n5/4/2026,Ana,400,5:40,ok\n",
        "x.csv",
        reading,
    )
    assert table.rows[0][:6] == (dt.date(2026, 5, 4), "Ana", "", pytest.approx(365.76), 340.0, "SCY")
    assert any("Mood: unknown column, ignored" in str(remark) for remark in table.remarks)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[columns\n", "not TOML"),
        ('[columns]\n"a" = "colour"\n', "'colour' is none of our columns"),
        ('file = "songs"\n', "none of ours"),
        ('distance_unit = "miles"\n', "yards"),
        ('date_format = "xyz"\n', "date_format"),
        ("columns = 3\n", "table of names"),
        ('run = "!!python/object/apply:os.system"\n', "'run' is none"),
    ],
)
def test_a_bad_map_is_refused(tmp_path: Path, text: str, said: str) -> None:
    file = tmp_path / "map.toml"
    file.write_text(text)
    with pytest.raises(BadFileError, match=said):
        read_column_map(file)


def test_limits_stop_before_reading(tmp_path: Path) -> None:
    file = tmp_path / "swims.csv"
    with file.open("wb") as stream:
        os.truncate(stream.fileno(), 5_000_000_000)
    with pytest.raises(BadFileError, match="5000 MB; 50 are allowed"):
        read_club_files(file, Reading())
    row = "2026-05-04,Ana,t400,400,405\n"
    with pytest.raises(BadFileError, match="more than 3 rows"):
        read(tmp_path, HEAD + row * 4, reading=Reading(FileLimits(rows=3)))
    assert len(read(tmp_path, HEAD + row * 3, reading=Reading(FileLimits(rows=3))).rows) == 3
    with pytest.raises(BadFileError, match="columns"):
        read(tmp_path, ",".join(f"c{i}" for i in range(300)) + "\n")


def test_a_folder_without_our_files_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadFileError, match="holds none of"):
        read_club_files(tmp_path, Reading())
    with pytest.raises(BadFileError, match="no file or folder"):
        read_club_files(tmp_path / "nowhere", Reading())


@pytest.mark.parametrize(
    ("mark", "ours"),
    [
        (None, False),
        ("not json", False),
        ("[]", False),
        ('{"written_by": "another"}', False),
        (f'{{"written_by": "{WRITER}"}}', True),
    ],
)
def test_a_folder_is_ours_by_its_mark_alone(tmp_path: Path, mark: str | None, ours: bool) -> None:
    if mark is not None:
        (tmp_path / MARK).write_text(mark, encoding="utf-8")
    assert is_ours(tmp_path) is ours
