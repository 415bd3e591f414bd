"""Every reading command on the odd records of small clubs: an answer, no warning, no trace.

The suite makes every warning an error, so one that would reach the terminal fails here.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli

HEADER = "date,swimmer,test,distance_m,time,course,strokes,set_id,decision"
WEEKS = [f"2026-0{month}-{day:02}" for month in range(1, 7) for day in (3, 10, 17, 24)]
ODD: dict[str, list[str]] = {
    "nobody swam": [],
    "one test": ["2026-06-01,Ines Aalto,t400,400,6:40,SCM,,,"],
    "two tests far from any line": [
        "2026-06-01,Ines Aalto,t400,400,5:00,SCM,20,,",
        "2026-06-08,Ines Aalto,t400,400,15:00,SCM,50,,",
    ],
    "two of one day far apart": [
        "2026-06-01,Ines Aalto,t400,400,5:00,SCM,,,accepted",
        "2026-06-01,Ines Aalto,t400,400,15:00,SCM,,,accepted",
    ],
    "all set aside by hand": [f"{day},Ines Aalto,t400,400,6:40,SCM,20,,aside" for day in WEEKS],
    "all doubtful": [f"{day},Ines Aalto,t400,400,1:10,SCM,20,," for day in WEEKS],
    "only repeats": [
        f"{day},Ines Aalto,reps,100,1:3{place}.5,SCM,20,{day}," for day in WEEKS for place in range(4)
    ],
    "no noise at all": [f"{day},Ines Aalto,t400,400,6:40,SCM,20,," for day in WEEKS],
    "one last typing error": [
        *(
            f"{day},Ines Aalto,t400,400,6:4{place % 7},SCM,{20 + place % 3},,"
            for place, day in enumerate(WEEKS)
        ),
        "2026-06-29,Ines Aalto,t400,400,16:40,SCM,60,,",
    ],
}
READING = (
    ("scan",),
    ("why", "Ines Aalto"),
    ("next", "Ines Aalto"),
    ("swims", "Ines Aalto"),
    ("swims", "Ines Aalto", "--doubtful"),
    ("page", "Ines Aalto", "--month", "2026-06", "--format", "txt,html", "--out", "pages"),
    ("page", "--roster", "--all", "--month", "2026-06", "--format", "txt", "--out", "pages"),
    ("board",),
    ("effects",),
    ("check",),
)


QUICK = {"nobody swam", "all doubtful"}


@pytest.mark.parametrize(
    "odd", [pytest.param(odd, marks=() if odd in QUICK else pytest.mark.thorough) for odd in ODD]
)
def test_every_reading_command_answers(odd: str, ines: Cli, home: Path) -> None:
    folder = home / "odd"
    folder.mkdir()
    (folder / "swims.csv").write_text("\n".join([HEADER, *ODD[odd]]) + "\n")
    if ODD[odd]:
        assert ines("import", str(folder)).code == 0
    assert ines("fault", "Ines Aalto", "open", "kick-wide", "--date", "2026-03-01").code == 0
    for words in READING:
        for more in ((), ("--json",)) if words[0] in {"scan", "why", "next", "swims"} else ((),):
            ran = ines(*words, *more)
            assert ran.code == 0, (words, ran.err)
            assert "unexpected" not in ran.err
            assert "Warning" not in ran.err + ran.out
            assert " nan" not in f" {ran.out.casefold()}".replace("name", "")
