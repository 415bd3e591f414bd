"""A newcomer adds fields, a kind of event and an area, and everything there is takes them."""

from __future__ import annotations

import csv
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.architecture.newcomer import ADDITIONS, MOST_FILES, Addition, add_to, copy_program
from tests.store.next_version import Program

INES, BO = "Ines Aalto", "Bo Prova"


def told(program: Program, *words: str) -> str:
    """Run a command that must succeed; return what it prints."""
    done = program(*words)
    assert done.returncode == 0, (words, done.stdout, done.stderr)
    return done.stdout


def told_json(program: Program, *words: str) -> Any:
    return json.loads(told(program, *words, "--json"))


RUNS = """
import sys
from tracker.cli.main import main
for words in {commands!r}:
    code = main(words)
    assert code == 0, (words, code)
"""


def in_one_run(program: Program, *commands: list[str]) -> None:
    """Run commands that must succeed in one process."""
    done = program.python(RUNS.format(commands=commands))
    assert done.returncode == 0, (done.stdout, done.stderr)


@pytest.fixture(scope="module")
def changed(tmp_path_factory: pytest.TempPathFactory) -> Program:
    """The program with all additions, and a club that was begun without them."""
    program = copy_program(tmp_path_factory.mktemp("newcomer"))
    first, later = ("t400", "6:40", "--date", "2026-05-04"), ("t400", "6:38", "--date", "2026-06-04")
    began = [words for name in (INES, BO) for words in (["swimmer", "add", name], ["log", name, *first])]
    in_one_run(program, *began)
    for addition in ADDITIONS:
        add_to(program, addition)
    in_one_run(
        program,
        ["log", INES, *later, "--lane", "4"],
        ["log", BO, *later],
        ["event", BO, "altitude", "--from", "2026-05-10", "--to", "2026-05-20", "--place", "Sils"],
        ["review", INES, "--by", "Maud", "--score", "turn=3"],
    )
    return program


@pytest.mark.parametrize("addition", ADDITIONS, ids=lambda addition: addition.name)
def test_an_addition_touches_few_files(addition: Addition) -> None:
    assert len(addition.files) <= MOST_FILES


@pytest.mark.thorough
def test_they_are_listed_in_the_help_and_completed(changed: Program) -> None:
    assert "--lane 1-10" in told(changed, "log", "--help")
    assert "--lane 1-10" in told(changed, "swim", "edit", "--help")
    assert "--lane" in told(changed, "completion", "words", "--", "log", INES, "t400", "--l").split()
    assert "turn" in told(changed, "review", "areas")
    assert "lane" in told(changed, "import", "--help").rpartition("Columns of swims")[2]


@pytest.mark.thorough
def test_they_are_on_record_and_can_be_corrected(changed: Program) -> None:
    earlier, later = told_json(changed, "swims", INES)["swims"]
    assert (earlier["lane"], later["lane"]) == (None, 4)
    refused = changed("swim", "edit", str(later["id"]), "--lane", "11")
    assert (refused.returncode, "lane: '11' is above 10" in refused.stderr) == (2, True), refused.stderr
    assert told_json(changed, "swim", "edit", str(later["id"]), "--lane", "5")["lane"] == 5
    told(changed, "undo")
    assert told_json(changed, "swims", INES)["swims"][1]["lane"] == 4
    assert [event["kind"] for event in told_json(changed, "event", "list", BO)["events"]] == ["altitude"]


@pytest.mark.thorough
def test_the_roster_and_the_pages_are_made_with_them(changed: Program, tmp_path: Path) -> None:
    assert {line["swimmer"] for line in told_json(changed, "scan")["swimmers"]} == {INES, BO}
    told(changed, "why", INES)
    told(changed, "next", INES)
    told(changed, "page", INES, "--month", "2026-06", "--format", "txt,pdf", "--out", str(tmp_path))
    assert {file.suffix for file in tmp_path.rglob("*.*")} >= {".txt", ".pdf"}


@pytest.mark.thorough
def test_a_kind_of_event_has_its_words(changed: Program) -> None:
    told(changed, "why", BO)
    told(changed, "next", BO)
    assert "altitude" in told(changed, "completion", "words", "--", "event", BO, "al").split()
    assert "altitude" in told(changed, "event", "--help")


@pytest.mark.thorough
def test_a_field_of_an_event_has_its_flag_and_its_column(changed: Program) -> None:
    assert "--place T" in told(changed, "event", "--help")
    assert "--place" in told(changed, "completion", "words", "--", "event", BO, "altitude", "--p").split()
    assert [event["place"] for event in told_json(changed, "event", "list", BO)["events"]] == ["Sils"]
    header, row = (line.split("\t") for line in told(changed, "event", "list", BO).splitlines())
    assert dict(zip(header, row, strict=True))["place"] == "Sils"
    assert told_json(changed, "event", "edit", row[0], "--place", "Livigno")["place"] == "Livigno"
    told(changed, "undo")
    screen = "from tracker.tui.screens.events import LogEventScreen as Screen"
    asked = f"{screen}; print(*[field.label for field in Screen().asked({{}})], sep=chr(10))"
    labels = ["kind", "from", "to", "body part", "place", "treatment", "note"]
    assert changed.python(asked).stdout.splitlines() == labels


SHOWS_EVENTS = (
    "event list {who}",
    "why {who}",
    "next {who}",
    "scan",
    "history",
    "page {who} --month 2026-06 --format txt,html --out {out}",
    "export {out} --format csv,jsonl --force",
    "swimmer export {who} {out}/own --force",
)


@pytest.mark.slow
def test_a_field_that_is_health_data_comes_out_nowhere_while_health_is_off(
    changed: Program, tmp_path: Path
) -> None:
    canary = ("--treatment", "canary")
    refused = changed("event", BO, "camp", "--from", "2026-05-21", *canary)
    assert (refused.returncode, "treatment is about health" in refused.stderr) == (2, True), refused.stderr
    told(changed, "config", "set", "health", "true")
    number = str(told_json(changed, "event", "list", BO)["events"][0]["id"])
    assert told_json(changed, "event", "edit", number, *canary)["treatment"] == "canary"
    assert "canary" in told(changed, "event", "list", BO)
    told(changed, "config", "set", "health", "false")
    for words in SHOWS_EVENTS:
        command = [BO if word == "{who}" else word.format(out=tmp_path) for word in words.split()]
        for more in ([], ["--json"]):
            assert "canary" not in told(changed, *command, *more), command
    written = [file for file in tmp_path.rglob("*") if file.is_file()]
    assert {file.name for file in written} >= {"events.csv", "club.jsonl", "person.json"}
    assert [file.name for file in written if b"canary" in file.read_bytes()] == []
    assert told_json(changed, "event", "edit", number, "--note", "high")["treatment"] == ""
    told(changed, "config", "set", "health", "true")
    assert told_json(changed, "event", "list", BO)["events"][0]["treatment"] == "canary"
    told(changed, "config", "set", "health", "false")
    for _ in range(2):
        told(changed, "undo")


@pytest.mark.thorough
def test_an_export_comes_back_byte_for_byte(changed: Program, tmp_path: Path) -> None:
    again = ("--db", str(tmp_path / "again.db"))
    first, second = tmp_path / "first", tmp_path / "second"
    told(changed, "export", str(first), "--format", "csv,jsonl")
    told(changed, "import", str(first), "--strict", *again)
    told(changed, "export", str(second), "--format", "csv,jsonl", *again)
    files = sorted(file.name for file in first.iterdir())
    assert files == sorted(file.name for file in second.iterdir())
    assert [(first / name).read_bytes() for name in files] == [(second / name).read_bytes() for name in files]
    with (first / "swims.csv").open(newline="", encoding="utf-8-sig") as stream:
        assert [row["lane"] for row in csv.DictReader(stream)] == ["", "", "", "4"]
    told(changed, "check", *again)


@pytest.mark.thorough
def test_the_schema_written_anew_knows_them(changed: Program) -> None:
    done = changed.python("import runpy; runpy.run_module('tests.output.club_schema', run_name='__main__')")
    assert done.returncode == 0, done.stderr
    schema = json.loads((changed.folder / "tracker" / "output" / "schema" / "club.schema.json").read_text())
    assert "lane" in schema["$defs"]["swims"]["required"]
    assert "altitude" in schema["$defs"]["events"]["properties"]["kind"]["enum"]


@pytest.mark.thorough
def test_the_database_is_whole(changed: Program) -> None:
    assert "whole" in told(changed, "check")


@pytest.mark.slow
def test_the_types_hold(changed: Program) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "mypy", "tracker"],
        cwd=changed.folder,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout
