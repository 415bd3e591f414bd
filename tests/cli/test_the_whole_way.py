"""From a file to the roster, the evidence, a page and back, on the invented club."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path

import pytest

from tests.builders import a_session
from tests.cli.conftest import Cli
from tests.some_of_the_club import write_some_of_the_club
from tracker.app.demo import club_files
from tracker.app.scan import scan
from tracker.output.as_json import scan_json
from tracker.output.json_text import json_text
from tracker.output.sentences.roster import roster_sentence
from tracker.output.text import roster_text
from tracker.store.database import Store


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database that holds the invented club."""
    from tracker.cli.main import main

    place = tmp_path_factory.mktemp("club") / "club.db"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HOME", str(place.parent))
        patch.setenv("SLACKWATER_TODAY", "2026-06-30")
        assert main(["--db", str(place), "import", str(club_files()), "--quiet"]) == 0
    return place


@pytest.fixture
def on(cli: Cli, club: Path, monkeypatch: pytest.MonkeyPatch) -> Cli:
    monkeypatch.setenv("SLACKWATER_DB", str(club))
    return cli


def test_scan_is_a_line_a_swimmer_and_its_json_says_the_same(on: Cli) -> None:
    text = on("scan")
    rows = [line.split("\t") for line in text.out.splitlines()]
    found = on("scan", "--json").json
    assert found["schema"] == 1
    assert [row[0] for row in rows[1:]] == [swimmer["swimmer"] for swimmer in found["swimmers"]]
    assert [row[2].split(" ", 1)[1] for row in rows[1:]] == [
        swimmer["verdict"] for swimmer in found["swimmers"]
    ]
    assert "\x1b" not in text.out + text.err
    assert on("scan", "--quiet").err == ""


@pytest.mark.parametrize("flags", [(), ("--anew",), ("--only", "plateau")])
def test_scan_prints_line_by_line_what_the_whole_comes_to(
    on: Cli, club: Path, flags: tuple[str, ...]
) -> None:
    store = Store.open(club)
    day = dt.date(2026, 6, 30)
    everyone = lines = scan(a_session(store, today=day))
    store.close()
    if "--only" in flags:
        lines = [line for line in lines if line.verdict and line.verdict.verdict == "plateau"]
    printed = json.loads(on("scan", "--json", *flags).out)
    monday = printed.pop("monday")
    assert json_text(printed) == json_text(scan_json(lines, day))
    assert monday
    assert {one["swimmer"] for one in monday} <= {line.swimmer for line in lines}
    text = on("scan", *flags)
    assert text.out == roster_text(lines, day)
    assert roster_sentence(everyone) in text.err.splitlines()


def test_scan_filters_by_group_and_verdict(on: Cli) -> None:
    everyone = on("scan", "--json").json["swimmers"]
    plateaus = on("scan", "--only", "plateau,too-early", "--json").json["swimmers"]
    assert [s["swimmer"] for s in plateaus] == [
        s["swimmer"] for s in everyone if s["verdict"] in {"plateau", "too early"}
    ]
    group = everyone[0]["group"]
    assert {s["group"] for s in on("scan", "--group", group, "--json").json["swimmers"]} == {group}
    assert "no group is called" in on("scan", "--group", "Nobody").err
    assert "did you mean plateau" in on("scan", "--only", "platau").err


def test_a_group_that_is_archived_is_not_called_empty(cli: Cli, tmp_path: Path) -> None:
    place = ("--db", str(tmp_path / "x.db"))
    assert cli(*place, "swimmer", "add", "Ana Prova", "--group", "Masters").code == 0
    assert cli(*place, "swimmer", "archive", "Ana Prova").code == 0
    assert "Everybody in Masters is archived" in cli(*place, "scan", "--group", "Masters").err
    assert "Nobody is on the roster yet." in cli(*place, "scan").err


def test_why_gives_the_verdict_the_link_and_what_is_due(on: Cli) -> None:
    text = on("why", "Ines Aalto").out
    found = on("why", "Ines Aalto", "--json").json
    assert found["verdict"] == "plateau"
    assert found["link"]["fault"] == "breath-late"
    for said in (
        "Ines Aalto",
        "On a plateau since about",
        "What was left uncorrected",
        "breath comes late, left",
        "Next",
    ):
        assert said in text
    assert on("why", "Ines Alto").code == 2


def test_the_day_asked_about_is_the_last_that_is_looked_at(on: Cli) -> None:
    earlier = on("why", "Ines Aalto", "--as-of", "2025-09-30", "--json").json
    assert earlier["last"] <= "2025-09-30"


def test_a_page_is_made_where_asked(on: Cli, home: Path) -> None:
    ran = on("page", "Ines Aalto", "--month", "2026-06", "--format", "txt")
    (path,) = ran.out.splitlines()
    assert Path(path).parent == Path("reports/2026-06")
    assert "Ines Aalto" in (home / path).read_text(encoding="utf-8")
    for words, said in (
        (["--month", "2026-06"], "say whose pages"),
        (["--all", "--month", "2026-6"], "is no month"),
        (["--all", "--month", "2026-06", "--format", "doc"], "is none of pdf, txt, html"),
        (["--all", "--month", "2027-06"], "has not begun"),
        (["Ines Alto", "--month", "2026-06"], "did you mean Ines Aalto"),
        (["--group", "Nobody", "--month", "2026-06"], "nobody to make a page for"),
    ):
        refused = on("page", *words)
        assert (refused.code, refused.out) == (2, "")
        assert said in refused.err


def test_export_import_export_is_the_same_to_the_byte(on: Cli, home: Path) -> None:
    assert on("export", "one").code == 0
    assert on("export", "one").code == 2
    assert on("export", "one", "--force").code == 0
    fresh = ("--db", str(home / "fresh.db"))
    assert on(*fresh, "import", "one").code == 0
    assert on(*fresh, "export", "two").code == 0
    names = sorted(path.name for path in (home / "one").iterdir())
    assert names == sorted(path.name for path in (home / "two").iterdir())
    assert all((home / "one" / name).read_bytes() == (home / "two" / name).read_bytes() for name in names)
    again = on(*fresh, "import", "one", "--json").json
    assert again["added"] == {}


def test_a_dry_run_changes_nothing_and_standard_input_is_a_file(cli: Cli) -> None:
    rows = ["date,swimmer,test,time", "2026-06-01,Ana,t400,6:40", "2026-06-02,Ana,t400,6:75"]
    data = "\n".join([*rows, "2026-06-03,Ana,t400,2:00"]).encode()
    dry = cli("import", "-", "--dry-run", stdin=data)
    assert dry.code == 3
    assert "6:75' has 75 seconds" in dry.err
    assert cli("swimmer", "list", "--json").json["swimmers"] == []
    ran = cli("import", "-", "--json", stdin=data)
    assert ran.code == 3
    assert ran.json["added"]["swims"] == 2
    assert len(ran.json["refused"]) == 1
    assert len(ran.json["doubtful"]) == 1
    assert [s["counts"] for s in cli("swims", "Ana", "--json").json["swims"]] == [True, False]
    strict = cli("import", "-", "--strict", stdin=data.replace(b"Ana", b"Bo"))
    assert strict.code == 4
    assert [s["swimmer"] for s in cli("swimmer", "list", "--json").json["swimmers"]] == ["Ana"]


@pytest.mark.parametrize("words", [["import", "nowhere"], ["judge", "nowhere.csv"]])
def test_a_file_that_is_not_there_is_exit_4(cli: Cli, home: Path, words: list[str]) -> None:
    ran = cli(*words)
    assert (ran.code, ran.out) == (4, "")
    assert "nowhere" in ran.err
    assert list(home.iterdir()) == []


def _series(swimmer: str = "Ana", months: int = 14) -> bytes:
    lines = ["swimmer,date,pace"]
    for week in range(months * 4):
        day = f"{2025 + week // 48}-{week // 4 % 12 + 1:02d}-{week % 4 * 7 + 1:02d}"
        lines.append(f"{swimmer},{day},{100 + (week % 3 - 1) * 0.8:.2f}")
    return "\n".join(lines).encode()


def test_judge_needs_no_database(cli: Cli, home: Path) -> None:
    ran = cli("judge", "-", "--json", stdin=_series())
    (verdict,) = ran.json["swimmers"]
    assert verdict["verdict"] == "plateau"
    assert verdict["p_gaining"] + verdict["p_flat"] + verdict["p_slipping"] == pytest.approx(1.0, abs=1e-3)
    assert list(home.iterdir()) == []
    assert cli("judge", "-", stdin=_series()).out.startswith("Ana: On a plateau since ")


def test_judge_says_so_where_there_is_nothing_to_judge(cli: Cli) -> None:
    ran = cli("judge", "-", "--as-of", "2001-01-01", stdin=_series())
    assert (ran.code, ran.out) == (0, "")
    assert "no test to judge on or before 2001-01-01" in ran.err


def test_judge_leaves_easy_swims_out_with_a_note_and_no_exit_code(cli: Cli) -> None:
    easy = b"\n".join(b"Bo,2025-%02d-01,1:40,7" % month for month in range(1, 10))
    series = b"\n".join(line + b",9" for line in _series().splitlines()[1:])
    data = b"swimmer,date,pace,effort\nAna,2025-01-03,2:10,4\n" + series + b"\n" + easy
    ran = cli("judge", "-", stdin=data)
    assert ran.code == 0
    ana, bo = ran.out.splitlines()
    assert ana.startswith("Ana: On a plateau since ")
    assert bo == "Bo: Too early to say: the effort was always below 8; swim a test at effort 9 or 10."
    assert ran.err == "-: 10 swims left out: effort below 8, so not a test; swim a test at effort 9 or 10.\n"
    found = cli("judge", "-", "--json", stdin=data)
    assert (found.code, found.json["unused"]) == (0, [])
    assert [(one["swimmer"], one["verdict"]) for one in found.json["swimmers"]] == [
        ("Ana", "plateau"),
        ("Bo", "too early"),
    ]
    assert cli("judge", "-", "--json", stdin=data + b"\nBo,2026-01-01,1:40,11").code == 3


def test_judge_lists_what_it_could_not_use(cli: Cli) -> None:
    ran = cli("judge", "-", "--json", stdin=_series() + b"\nAna,2026-02-30,1:40\nAna,2026-03-01,6:75\n")
    assert ran.code == 3
    assert [row["row"] for row in ran.json["unused"]] == [58, 59]
    assert "75 seconds" in ran.json["unused"][1]["why"]
    assert ran.err.splitlines()[-1] == "error: 2 rows of - not used; the rest was"
    none = cli("judge", "-", stdin=b"swimmer,date,pace\nAna,2026-03-01,6:75\n")
    assert none.code == 3
    assert none.err.splitlines()[-1] == "error: 1 row of - not used"


def test_judge_names_the_file_of_a_row_it_could_not_use(cli: Cli, home: Path) -> None:
    (home / "a.csv").write_bytes(_series() + b"\nAna,2031-01-01,1:40\n")
    (home / "ev.csv").write_text("from,to,swimmer,kind\n2025-03-01,2025-03-20,ana,layoff\n")
    ran = cli("judge", "a.csv", "--events", "ev.csv")
    assert ran.code == 3
    assert [line.partition(" ")[0] for line in ran.err.splitlines()] == ["a.csv:58:", "ev.csv:2:", "error:"]
    assert ran.err.splitlines()[-1] == "error: 1 row of a.csv and 1 row of ev.csv not used; the rest was"
    listed = cli("judge", "a.csv", "--events", "ev.csv", "--json").json["unused"]
    assert [row.get("file") for row in listed] == [None, "ev.csv"]
    assert cli("judge", "a.csv", "--as-of", "2031-01-01").code == 0, "the day that is said"
    assert cli("judge", "a.csv", "--as-of", "2025-12-01").code == 3


def test_judge_gives_the_year_where_it_is_not_this_one(
    cli: Cli, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (home / "steps.csv").write_bytes(_stepped())
    monkeypatch.setenv("SLACKWATER_TODAY", "2025-12-31")
    assert re.search(r"since about \d+ \w+ \(", cli("judge", "steps.csv").out)
    monkeypatch.setenv("SLACKWATER_TODAY", "2026-06-30")
    assert re.search(
        r"since about \d+ \w+ 2025 \(\d+ \w+ 2025 to \d+ \w+ 2025\)", cli("judge", "steps.csv").out
    )


def _stepped() -> bytes:
    """Return a year of weekly tests: half a year of gain, then none."""
    lines = ["swimmer,date,pace"]
    for week in range(50):
        day = dt.date(2025, 1, 6) + dt.timedelta(weeks=week)
        pace = 100 - 0.4 * min(week, 24) + (week % 3 - 1) * 0.4
        lines.append(f"Ana,{day},{pace:.2f}")
    return "\n".join(lines).encode()


@pytest.mark.parametrize(
    ("data", "words", "code", "said"),
    [
        (b"", [], 4, "is empty"),
        (b"name,day\nx,y\n", [], 4, "no column swimmer"),
        (b"swimmer,date,date,pace\n", [], 4, "names 'date' twice"),
        (b"swimmer,date,pace\n", ["--band", "x"], 2, "--band"),
        (b"swimmer,date,pace\n", ["--date-format", "ydm"], 2, "is not an order"),
        (b"swimmer,date,pace\n", ["--events", "nowhere"], 4, "nowhere"),
        (b'swimmer,date,pace\n"Ana,2026-01-01,1:40\n', [], 4, "never closed"),
        (b"\x00\x00\x00\x01", [], 4, "is not a text file"),
    ],
)
def test_judge_refuses_a_bad_file_with_a_reason(
    cli: Cli, data: bytes, words: list[str], code: int, said: str
) -> None:
    ran = cli("judge", "-", *words, stdin=data)
    assert (ran.code, ran.out) == (code, "")
    assert said in ran.err
    assert ran.err.count("\n") == 1


def test_a_semicolon_file_may_have_decimal_commas(cli: Cli) -> None:
    data = _series().replace(b",", b";").replace(b".", b",")
    ran = cli("judge", "-", "--json", stdin=data)
    assert ran.code == 0
    assert ran.json["swimmers"] == cli("judge", "-", "--json", stdin=_series()).json["swimmers"]


@pytest.mark.parametrize(
    ("names", "pages"),
    [(("Ines Aalto", "Bram Toivonen"), 2), pytest.param(None, 24, marks=pytest.mark.thorough)],
    ids=["two of them", "all"],
)
def test_demo_shows_the_club_and_leaves_the_users_data_alone(
    cli: Cli,
    home: Path,
    tmp_path_factory: pytest.TempPathFactory,
    monkeypatch: pytest.MonkeyPatch,
    names: tuple[str, ...] | None,
    pages: int,
) -> None:
    if names is not None:
        files = tmp_path_factory.mktemp("some")
        write_some_of_the_club(files, names)
        monkeypatch.setattr("tracker.app.demo.club_files", lambda: files)
    ran = cli("demo", "--to", "club", "--no-open")
    assert ran.code == 0
    assert ran.out.startswith("the invented club, as of its last day, 2026-06-30, in club\n")
    assert f"{pages} pages for 2026-06" in ran.out
    assert "Ines Aalto" in ran.out
    assert "breath-late:left" in ran.out
    assert {path.name for path in home.iterdir()} - {".cache"} == {"club"}
    assert len(list((home / "club" / "pages").glob("*.pdf"))) == pages
    assert cli("demo", "--to", "club").code == 2


READING = (
    ["swimmer", "list"],
    ["swimmer", "show", "Ines Aalto"],
    ["swims", "Ines Aalto"],
    ["test", "list"],
    ["fault", "list"],
    ["scan"],
    ["why", "Ines Aalto"],
    ["css", "6:40", "3:10"],
    ["pace", "6:40", "400"],
    ["stroke", "25", "18", "26"],
    ["angle", "0,0", "1,0", "1,1"],
    ["config", "show"],
    ["taught"],
)


@pytest.mark.parametrize("words", READING, ids=" ".join)
def test_reading_commands_speak_json_with_a_schema(on: Cli, words: list[str]) -> None:
    ran = on(*words, "--json")
    assert ran.code == 0
    assert ran.json["schema"] == 1
    assert json.loads(ran.out) == ran.json
    plain = on(*words)
    assert not set("\x1b│─") & set(plain.out + plain.err)
