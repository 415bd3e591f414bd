from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from tests.builders import NOW, a_session
from tracker.app.import_club import ImportReport, import_club
from tracker.errors import BadFileError
from tracker.model.doubts import LongerNotLonger, TooFast, TooSlow
from tracker.model.event import Event
from tracker.model.swim import Swim
from tracker.model.swimmer import Consent, Swimmer
from tracker.settings import DEFAULT, Settings
from tracker.store.database import Store

HEAD = "date,swimmer,test,distance_m,time\n"


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store.open(tmp_path / "data" / "slackwater.db")
    yield opened
    opened.close()


def imported(store: Store, path: Path, *, settings: Settings = DEFAULT, **how: Any) -> ImportReport:
    return import_club(a_session(store, settings=settings, who="coach"), path, **how)


def written(tmp_path: Path, text: str, name: str = "swims.csv") -> Path:
    file = tmp_path / name
    file.write_text(text, newline="")
    return file


def swims(store: Store) -> list[Swim]:
    with store.read() as reader:
        return [kept.record for kept in reader.all(Swim)]


def test_a_file_is_stored_its_swimmers_made_and_undone_at_once(store: Store, tmp_path: Path) -> None:
    file = written(tmp_path, HEAD + "2026-05-04,Ana,t400,400,405\n2026-05-05,Bo,t400,400,404\n")
    report = imported(store, file)
    assert report.added == {"swimmers": 2, "swims": 2}
    assert report.created == ("Ana", "Bo")
    with store.read() as reader:
        assert [line.what for line in reader.history()] == ["import swims.csv"]
    store.undo(at=NOW)
    with store.read() as reader:
        assert reader.labels() == []
        assert reader.all(Swim) == []
    store.redo(at=NOW)
    assert len(swims(store)) == 2


def test_the_preview_says_the_same_and_stores_nothing(store: Store, tmp_path: Path) -> None:
    file = written(tmp_path, HEAD + "2026-05-04,Ana,t400,400,405\n2026-05-05,Ana,t400,400,x\n")
    preview = imported(store, file, dry_run=True)
    assert swims(store) == []
    assert preview == replace(imported(store, file), stored=False)


def test_importing_again_adds_nothing_and_keeps_what_can_be_redone(store: Store, tmp_path: Path) -> None:
    row = "2026-05-04,Ana,t400,400,405\n"
    imported(store, written(tmp_path, HEAD + row * 2))
    imported(store, written(tmp_path, HEAD + "2026-05-05,Ana,t400,400,405\n", "more.csv"))
    store.undo(at=NOW)
    again = imported(store, tmp_path / "swims.csv")
    assert again.added == {}
    assert again.known == 2
    store.redo(at=NOW)
    assert len(swims(store)) == 3
    assert imported(store, written(tmp_path, HEAD + row * 3)).added == {"swims": 1}


def test_refused_rows_are_told_and_the_rest_stored_or_nothing_if_strict(store: Store, tmp_path: Path) -> None:
    file = written(tmp_path, HEAD + "2026-05-04,Ana,t400,400,405\n2026-05-05,Ana,t400,400,6:75\n")
    strict = imported(store, file, strict=True)
    assert not strict.stored
    assert strict.refused == 1
    assert swims(store) == []
    report = imported(store, file)
    assert [str(problem) for problem in report.problems] == ["swims.csv:3:time: '6:75' has 75 seconds"]
    assert len(swims(store)) == 1


QUICK = {0, 500, 950}


@pytest.mark.parametrize(
    "bad",
    [pytest.param(bad, marks=() if bad in QUICK else pytest.mark.thorough) for bad in range(0, 1000, 50)],
)
def test_all_or_all_but_one_by_mode_never_half(store: Store, tmp_path: Path, bad: int) -> None:
    """A thousand rows, one bad at twenty places."""
    rows = [f"2026-05-04,Ana,t400,400,{400 + place % 50}.{place % 10}\n" for place in range(1000)]
    rows[bad] = "2026-05-04,Ana,t400,400,never\n"
    file = written(tmp_path, HEAD + "".join(rows))
    imported(store, file, strict=True)
    assert len(swims(store)) == 0
    imported(store, file)
    assert len(swims(store)) == 999


def test_a_file_that_breaks_off_stores_nothing(store: Store, tmp_path: Path) -> None:
    file = written(tmp_path, HEAD + "2026-05-04,Ana,t400,400,405\n" * 5 + '2026-05-04,"Ana')
    with pytest.raises(BadFileError):
        imported(store, file)
    assert swims(store) == []


def test_doubtful_swims_are_stored_as_doubtful_and_told(store: Store, tmp_path: Path) -> None:
    file = written(
        tmp_path,
        "date,swimmer,test,distance_m,time,set,decision\n"
        "2026-05-04,Ana,,100,20.0,,\n"
        "2026-05-05,Ana,,100,20:00,,\n"
        "2026-05-06,Ana,css,400,6:00,a,\n2026-05-06,Ana,css,200,6:10,a,\n"
        "2026-05-07,Ana,,100,20.0,,accepted\n2026-05-08,Ana,t400,400,405,,\n",
    )
    report = imported(store, file)
    assert [doubt.row for doubt in report.doubts] == [2, 3, 4, 5]
    assert [type(doubt.doubts[0]) for doubt in report.doubts][:3] == [TooFast, TooSlow, LongerNotLonger]
    assert report.problems == ()
    assert [swim.decision for swim in swims(store)] == ["", "", "", "", "accepted", ""]


def test_a_pair_is_doubted_across_imports(store: Store, tmp_path: Path) -> None:
    imported(store, written(tmp_path, HEAD + "2026-05-06,Ana,t400,400,6:00\n"))
    report = imported(store, written(tmp_path, HEAD + "2026-05-06,Ana,t200,200,6:10\n"))
    assert [type(doubt.doubts[0]) for doubt in report.doubts] == [LongerNotLonger]


def test_the_future_and_the_time_before_birth_are_refused(store: Store, tmp_path: Path) -> None:
    (tmp_path / "club").mkdir()
    written(tmp_path / "club", "swimmer,born\nAna,2020\n", "swimmers.csv")
    written(
        tmp_path / "club",
        HEAD + "2026-07-02,Ana,t400,400,405\n2019-01-01,Ana,t400,400,405\n2026-07-01,Ana,t400,400,405\n",
    )
    report = imported(store, tmp_path / "club")
    assert [problem.row for problem in report.problems] == [2, 3]
    assert len(swims(store)) == 1


def test_names_that_look_alike_are_proposed_and_never_merged(store: Store, tmp_path: Path) -> None:
    names = ["Zoë", "Zoe\u0308", "STRAUSS", "Strauß", "İpek", "ipek", "Ana", "\u0410na", "Bo"]
    file = written(tmp_path, HEAD + "".join(f"2026-05-04,{name},t400,400,405\n" for name in names))
    report = imported(store, file)
    with store.read() as reader:
        assert len(reader.labels()) == 8  # the two spellings of Zoë are one in NFC
    assert {frozenset(pair) for pair in report.similar} == {
        frozenset({"STRAUSS", "Strauß"}),
        frozenset({"İpek", "ipek"}),
        frozenset({"Ana", "\u0410na"}),
    }


def test_a_swimmer_known_by_name_is_filled_in_but_never_overwritten(store: Store, tmp_path: Path) -> None:
    imported(store, written(tmp_path, HEAD + "2026-05-04,Ana,t400,400,405\n"))
    first = imported(store, written(tmp_path, "swimmer,group,born\nAna,Masters,1980\n", "swimmers.csv"))
    assert first.filled == 1
    second = imported(store, written(tmp_path, "swimmer,group,born\nAna,Juniors,1980\n", "swimmers.csv"))
    assert second.refused == 1
    with store.read() as reader:
        assert reader.swimmer("Ana").record == Swimmer(swimmer="Ana", group="Masters", born=1980)
    store.undo(at=NOW)
    with store.read() as reader:
        assert reader.swimmer("Ana").record.group == ""


def test_health_is_not_taken_unless_switched_on(store: Store, tmp_path: Path) -> None:
    file = written(
        tmp_path,
        "from,to,swimmer,kind,note\n2026-05-04,,Ana,illness,flu\n2026-05-04,,Ana,pool,\n",
        "events.csv",
    )
    assert imported(store, file).refused == 1
    assert imported(store, file, settings=replace(DEFAULT, health=True)).added == {"events": 1}
    with store.read() as reader:
        assert {kept.record.kind for kept in reader.all(Event)} == {"illness", "pool"}


def test_a_withdrawn_consent_refuses_new_rows(store: Store, tmp_path: Path) -> None:
    with store.write(who="c", what="consent", at=NOW) as writer:
        writer.add(
            [
                Swimmer(swimmer="Ana"),
                Consent(
                    date=dt.date(2026, 1, 1), swimmer="Ana", purpose="record", withdrawn=dt.date(2026, 5, 1)
                ),
            ]
        )
    report = imported(store, written(tmp_path, HEAD + "2026-05-04,Ana,t400,400,405\n"))
    assert "withdrawn" in report.problems[0].reason


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        (
            "faults.csv",
            "date,swimmer,fault,step\n2026-05-04,Ana,elbows-up,open\n",
            "no fault is called 'elbows-up'",
        ),
        (
            "reviews.csv",
            "date,swimmer,reviewer,kind,item,value\n2026-05-04,Ana,Bo,score,grace,3\n",
            "no area",
        ),
        (
            "reviews.csv",
            "date,swimmer,reviewer,kind,item,value\n2026-05-04,Ana,Bo,score,catch,6\n",
            "from 1 to 5",
        ),
        (
            "reviews.csv",
            "date,swimmer,reviewer,kind,item,value\n2026-05-04,Ana,Bo,measure,charm,6\n",
            "no measure",
        ),
        (
            "reviews.csv",
            "date,swimmer,reviewer,kind,item,value\n2026-05-04,Ana,Bo,measure,hip-roll,1000\n",
            "at most 180 deg",
        ),
        ("events.csv", "from,to,swimmer,kind\n2026-05-04,2026-05-01,Ana,camp\n", "before the beginning"),
        ("tests.csv", "test,name\nt400,mine\n", "built in"),
        ("own_faults.csv", "fault,name\nsinking,Sinks\n", "own-"),
    ],
)
def test_rows_obey_the_catalogue_and_the_calendar(
    store: Store, tmp_path: Path, name: str, text: str, said: str
) -> None:
    report = imported(store, written(tmp_path, text, name))
    assert said in report.problems[0].reason
    assert report.added == {}


def test_the_invented_club_imports_without_a_word(store: Store) -> None:
    club = Path(__file__).parents[2] / "fixtures" / "club"
    report = imported(store, club)
    assert report.problems == ()
    assert report.created == ()
    with (club / "swims.csv").open(newline="") as stream:
        assert report.added["swims"] == len(list(csv.reader(stream))) - 1


def test_a_swim_that_stands_twice_is_told_and_repeats_of_a_set_are_not(store: Store, tmp_path: Path) -> None:
    head = "date,swimmer,distance_m,time,set\n"
    single, repeat = "2026-05-04,Ana,400,405,\n", "2026-05-05,Ana,100,98,a\n"
    report = imported(store, written(tmp_path, head + single * 2 + repeat * 2))
    assert report.added == {"swimmers": 1, "swims": 4}
    (said,) = [remark for remark in report.remarks if "the same swim as row" in remark.reason]
    assert (said.row, "row 2" in said.reason) == (3, True)
    again = imported(store, tmp_path / "swims.csv")
    assert not [remark for remark in again.remarks if "the same swim as row" in remark.reason]
