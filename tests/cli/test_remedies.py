"""The line that an error prints, whole: what is wrong is said below, how to mend it by the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tracker.app.judge import judge_columns

LINES = [
    ("log Ina t400 6:40", "no swimmer is called 'Ina'; 'slackwater swimmer list' lists them"),
    (
        "log Ines t400 2:00",
        "implausible: 0:30.0 per 100 m is faster than anybody swims (0:40); if it is right, say so with "
        "--accept-implausible",
    ),
    ("swim aside 1", "a swim is set aside with a reason; give --reason"),
    ("swim delete 77", "no swim has the number 77; 'slackwater swims NAME' lists them"),
    (
        "review Ines --by M --score breathing=2 --score breathing=3 --fault kick-knees --fault kick-knees",
        "--score: breathing is scored twice in this review; --fault: kick-knees is named twice in this "
        "review",
    ),
    ("review edit 1 --side left --whole", "--side is one item's own; leave --whole out"),
    ("fault Ines park breath-late", "breath-late is on record left and right; say which with --side"),
    (
        "next Ines --choose kick-knees --reason why",
        "Ines has no uncorrected kick-knees on record; open it first ('slackwater fault')",
    ),
    (
        "event Ines illness --from 2026-05-01",
        "illness is about health, which is off; log a 'layoff' without saying why, or switch it on with "
        "'slackwater config set health true' if the swimmer has agreed",
    ),
    ("cue Ines stop glide", "no cue in use is called 'glide'; 'slackwater cue NAME list' lists them"),
    (
        "swimmer archive Bo",
        "Bo is archived already, since 2026-06-30; 'swimmer archive --back' takes them back",
    ),
    ("export out", "out/swimmers.csv exists already; --force replaces it"),
    ("backup copies --keep 0", "--keep: 0 is less than 1; at least the new copy stays"),
    (
        "backup copies --keep 2",
        "--keep goes with a folder of copies, and copies is none; write copies/ to have it made",
    ),
    ("demo --to out", "out is not empty; give --to a new or empty folder"),
    (
        "stroke 25 20 20 --push-off 30",
        "a push-off of 30 m in 15 s leaves nothing of 25 m in 20 s; give --push-off and --push-off-time",
    ),
    (
        "import nobodys.csv --test t400",
        "no column says whose the swims are, and 2 swimmers are on record; say --swimmer NAME",
    ),
    (
        "import nobodys.csv",
        "nobodys.csv:1: the header 'date, time' names no distance and no test; say which with --test (such "
        "as --test t400), or name the columns with --map (see 'import --help')",
    ),
    ("import rows.csv --max-rows 1", "rows.csv has more than 1 rows; raise the limit with --max-rows"),
]


@pytest.fixture
def club(cli: Cli, home: Path) -> Cli:
    for words in (
        "swimmer add Ines",
        "swimmer add Bo",
        "swimmer archive Bo",
        "log Ines t400 6:40",
        "review Ines --by M --score breathing=2 --fault breath-late:left --fault breath-late:right",
        "export out",
    ):
        assert cli(*words.split()).code == 0
    (home / "nobodys.csv").write_text("date,time\n2026-06-01,6:40\n", encoding="utf-8")
    rows = "date,time,test,swimmer\n06/01/2026,6:40,t400,Ines\n2026-06-02,6:40,q,Ines\n"
    (home / "rows.csv").write_text(rows, encoding="utf-8")
    return cli


def test_the_printed_line_is_whole(club: Cli) -> None:
    for words, line in LINES:
        ran = club(*words.split())
        assert (ran.code, ran.err) == (4 if line.startswith(("nobodys", "rows")) else 2, f"error: {line}\n")


def test_rows_that_are_refused_and_remarks_say_how_to_mend_them(club: Cli, home: Path) -> None:
    ran = club("import", "rows.csv")
    assert ran.err.splitlines() == [
        "refused: rows.csv:2:date: '06/01/2026' does not say the order of day and month; write it as "
        "2026-02-01 (a file's order is named by --date-format dmy or mdy)",
        "refused: rows.csv:3:distance_m: is missing, and no test is called 'q' ('slackwater test list' names "
        "them)",
        "error: rows.csv: not one swim was read, all 2 rows refused; the header is 'date, time, test, "
        "swimmer'; mend the rows, or name the columns with --map (see 'slackwater import --help')",
    ]
    refused = club("import", "rows.csv", "--json").json["refused"]
    assert refused[1]["why"] == "is missing, and no test is called 'q' ('slackwater test list' names them)"
    (home / "events.csv").write_text("swimmer,from,kind\nInes,2026-05-01,illness\n", encoding="utf-8")
    assert (
        "kind: health is not written down unless switched on (config set health true)"
        in club("import", "events.csv").err
    )
    (home / "faults.csv").write_text("swimmer,date,fault,step\nInes,2026-05-01,nope,open\n", encoding="utf-8")
    assert "no fault is called 'nope'; 'slackwater fault list' lists them" in club("import", "faults.csv").err


def test_the_python_api_leaves_the_shell_out() -> None:
    columns = {"swimmer": ["Ada", "Ada"], "date": ["2026-01-01", "01/02/2026"], "pace": ["95", "95"]}
    (row,) = judge_columns(columns).unused
    assert row.reason == ("date '01/02/2026' does not say the order of day and month; write it as 2026-02-01")
