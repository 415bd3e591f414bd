"""While health is off no command's output holds an illness or injury: all commands are walked.

A new command must be walked here, or stand in `NOT_WALKED` with the reason why it shows nothing on record.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Cli, Ran
from tests.privacy.canary_club import CANARIES, KINDS, WHO, canary_club, found_in, words_of
from tests.tui.clubs import TODAY
from tracker.cli.commands import COMMANDS, load, parser_of

MONTH = TODAY.strftime("%Y-%m")
WALKED: dict[str, tuple[str, ...]] = {
    "swimmer": (
        "list --archived",
        "show {who}",
        "export {who} out --force",
        "consent {who} list",
        "consent",
        "retention",
        "edit {who} --note x",
        "archive {who}",
        "archive {who} --back",
        "erase {who}",
        "add New",
    ),
    "swims": ("{who}", "{who} --all"),
    "swim": ("aside 1 --reason x", "keep 1", "edit 1 --note x", "delete 1"),
    "test": ("list",),
    "review": ("areas", "list {who}"),
    "fault": ("list", "steps {who}"),
    "cue": ("{who} list",),
    "drill": ("{who} list",),
    "event": (
        "list {who}",
        "delete {id}",
        "edit {id} --to {today}",
        "edit {id} --kind other",
        "edit {id} --kind illness",
        "delete {id} --yes",
    ),
    "load": ("list {who}",),
    "scan": ("", "--anew", "--group Masters"),
    "board": ("",),
    "why": ("{who}",),
    "seen": ("{who}", "--all"),
    "leave": ("{who} --until 2099-12-01 --reason x", ""),
    "changes": ("", "--since last", "--since 2026-01-31"),
    "revisions": ("",),
    "next": ("{who}", "--stagger --seed 1"),
    "effects": ("",),
    "taught": ("",),
    "calendar": ("", "--to out/dates.ics --force"),
    "page": (
        "{who} --month {month} --format pdf,txt,html --out out",
        "--all --month {month} --format txt,html --out out",
        "--all --month {month} --roster --format pdf,txt,html --out out",
    ),
    "undo": ("",),
    "redo": ("",),
    "history": ("", "{who}", "--last 3"),
    "import": ("out --dry-run", "out"),
    "export": ("out --format csv,xlsx,jsonl --force",),
    "check": ("",),
    "completion": ("bash", "words event ''", "words event delete ''"),
    "config": ("show",),
}
"""Command -> what it is given, in this order: each once as text and once with ``--json``."""
NOT_WALKED = {
    "log": "writes what was typed, and reads swims alone",
    "calibrate": "a simulation: it opens no record",
    "judge": "judges a file that is typed, without a record",
    "css": "a calculator",
    "pace": "a calculator",
    "stroke": "a calculator",
    "angle": "a calculator",
    "coach": "names logins and groups of a server",
    "backup": "the whole database as it is, for who keeps it",
    "restore": "the whole database as it was",
    "open": "the screens, which have a walk of their own",
    "serve": "the same screens in a browser",
    "demo": "builds another club of its own",
    "manual": "the manual",
}
NO_VERBS_OF_THE_RECORD = {
    ("cue", "start"),
    ("cue", "stop"),
    ("cue", "delete"),
    ("drill", "start"),
    ("drill", "stop"),
    ("drill", "delete"),
    ("test", "add"),
    ("config", "set"),
    ("config", "unset"),
}
"""Verbs that print what was typed, or an entry that is no event."""


def test_every_command_is_walked_or_has_a_reason_why_not() -> None:
    assert not WALKED.keys() & NOT_WALKED.keys()
    assert WALKED.keys() | NOT_WALKED.keys() == COMMANDS.keys()


@pytest.mark.parametrize("command", WALKED)
def test_every_verb_is_walked(command: str) -> None:
    verbs = parser_of(command, load(command)).verbs().keys()
    left = {verb for verb in verbs if not any(verb in words.split() for words in WALKED[command])}
    assert {verb for verb in left if (command, verb) not in NO_VERBS_OF_THE_RECORD} == set()


@pytest.fixture
def club(home: Path, cli: Cli, monkeypatch: pytest.MonkeyPatch) -> Cli:
    """The commands over the club with the canaries, with health off."""
    monkeypatch.setenv("SLACKWATER_TODAY", TODAY.isoformat())
    monkeypatch.setenv("SLACKWATER_DB", str(canary_club(home)))
    return cli


def _events(club: Cli, monkeypatch: pytest.MonkeyPatch) -> list[int]:
    monkeypatch.setenv("SLACKWATER_HEALTH", "true")
    ran = club("event", "list", WHO, "--json")
    assert set(found_in(ran.out)) == {*CANARIES, *KINDS}, "the walk would find nothing"
    monkeypatch.delenv("SLACKWATER_HEALTH")
    return [event["id"] for event in json.loads(ran.out)["events"] if event["kind"] in KINDS]


def _filled(words: str, number: int) -> list[str]:
    given = {"{who}": WHO, "{id}": str(number), "{today}": TODAY.isoformat(), "{month}": MONTH, "''": ""}
    return [given.get(word, word) for word in words.split()]


def _leaks(ran: Ran, typed: list[str]) -> list[str]:
    """Return what came out, but for what was typed by who asks."""
    out = [found for found in found_in(ran.out + ran.err) if found not in typed]
    out += [
        f"{file}: {found}"
        for file in sorted(Path("out").rglob("*"))
        if file.is_file()
        for found in found_in(words_of(file))
    ]
    return out


@pytest.mark.parametrize(
    ("command", "given"),
    [
        *(
            pytest.param(command, lines[:1] if command == "page" else lines, id=command)
            for command, lines in WALKED.items()
        ),
        pytest.param("page", WALKED["page"][1:], id="page of all", marks=pytest.mark.thorough),
    ],
)
def test_no_command_lets_health_out_while_it_is_off(
    club: Cli, command: str, given: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    numbers = _events(club, monkeypatch)
    if command == "import":
        assert club("export", "out", "--force").code == 0
    leaks = {}
    for line in given:
        for flags in ((), ("--json",)):
            words = [command, *_filled(line, numbers[-1] if flags else numbers[0]), *flags]
            ran = club(*words)
            assert ran.code != 1, (words, ran.err)
            leaks[" ".join(words)] = _leaks(ran, words)
    assert {words: found for words, found in leaks.items() if found} == {}


def test_the_files_that_are_searched_are_there(club: Cli) -> None:
    assert club(*["export", "out", "--format", "csv,xlsx,jsonl"]).code == 0
    assert club("swimmer", "export", WHO, "out/one").code == 0
    assert club(*["page", WHO, "--month", MONTH, "--format", "pdf,txt,html", "--out", "out"]).code == 0
    assert {file.suffix for file in Path("out").rglob("*")} >= {
        ".csv",
        ".xlsx",
        ".jsonl",
        ".json",
        ".pdf",
        ".txt",
        ".html",
    }
    for file in Path("out").rglob("*"):
        if file.suffix in {".pdf", ".txt", ".html", ".xlsx", ".jsonl"}:
            assert "camp" in words_of(file) or WHO in words_of(file), file
