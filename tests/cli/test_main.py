"""Conventions of the shell: help, exit codes, one line of error, nothing on the wrong stream."""

from __future__ import annotations

import fcntl
import os
import random
import re
import signal
import subprocess
import sys
import termios
import time
from pathlib import Path

import pytest

import tracker.cli.calculators
from tests.cli.conftest import Cli
from tracker.cli.commands import COMMANDS, GROUPS

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize("words", [[], ["-h"], ["--help"], ["help"]])
def test_help_is_data_and_has_an_example(cli: Cli, words: list[str]) -> None:
    ran = cli(*words)
    assert (ran.code, ran.err) == (0, "")
    assert "example:\n  slackwater demo" in ran.out
    assert all(re.search(rf"^  {name} ", ran.out, re.MULTILINE) for name in COMMANDS)
    assert all(title in ran.out for title in GROUPS)


@pytest.mark.parametrize("command", sorted(COMMANDS))
def test_every_command_has_help_with_an_example_of_itself(cli: Cli, command: str) -> None:
    ran = cli(command, "--help")
    assert (ran.code, ran.err) == (0, "")
    assert f"slackwater {command}" in ran.out.split("example", 1)[1]
    assert cli("help", command).out == ran.out


def test_version_is_one_line(cli: Cli) -> None:
    ran = cli("--version")
    assert (ran.code, ran.err) == (0, "")
    assert re.fullmatch(r"slackwater \d+(\.\d+)*((a|b|rc)\d+)?(\.post\d+)?(\.dev\d+)?\n", ran.out)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["swmmer"], "did you mean swimmer"),
        (["--jsn", "css"], "did you mean --json"),
        (["css", "--jsn", "6:40", "3:10"], "did you mean --json"),
        (["swimmer", "lst"], "did you mean list"),
        (["swimmer"], "use one of add, list"),
        (["swimmer", "list", "--gruop", "x"], "did you mean --group"),
        (["css", "--dist", "400,200", "6:40", "3:10"], "did you mean --distances"),
        (["swim"], "use one of edit, delete, keep, aside"),
        (["scan", "extra"], "one argument too many: 'extra'"),
        (["--db"], "--db needs a value"),
        (["css"], "required: TIME"),
        (["open"], "need a terminal"),
        (["completion", "\udcff"], "no script for '\\udcff'"),
        (["--as-of", "01/02/2026", "css", "6:40", "3:10"], "--as-of: '01/02/2026'"),
    ],
)
def test_wrong_use_is_one_line_on_stderr_with_the_nearest_name(cli: Cli, words: list[str], said: str) -> None:
    ran = cli(*words)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("error: ")
    assert ran.err.count("\n") == 1
    assert said in ran.err


@pytest.mark.parametrize(
    "words",
    [
        ["--json", "css", "6:40", "3:10"],
        ["css", "--json", "6:40", "3:10"],
        ["css", "6:40", "3:10", "--json"],
        ["--db", "x.db", "css", "6:40", "--json", "--", "3:10"],
    ],
)
def test_shared_flags_stand_anywhere(cli: Cli, words: list[str]) -> None:
    assert cli(*words).json["css_pace"] == 105.0


def test_flags_between_command_and_verb_count(ines: Cli) -> None:
    for words in (
        ["swimmer", "--json", "list"],
        ["--json", "swimmer", "list"],
        ["swimmer", "list", "--json"],
    ):
        assert ines(*words).json["swimmers"][0]["swimmer"] == "Ines Aalto"


def test_two_dashes_end_the_flags(ines: Cli) -> None:
    assert ines("swimmer", "add", "--", "-rf").code == 0
    assert ines("swimmer", "show", "--", "-rf").out.startswith("swimmer: -rf")


def test_what_nobody_foresaw_is_one_line_without_a_trace(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> int:
        raise RuntimeError("Ines Aalto's time")

    monkeypatch.setattr(tracker.cli.calculators, "run_css", fail)
    ran = cli("css", "6:40", "3:10")
    assert ran.code == 1
    assert ran.err.startswith("error: an unexpected RuntimeError")
    assert ran.err.count("\n") == 1
    assert "Ines" not in ran.err
    assert "Traceback" in cli("--debug", "css", "6:40", "3:10").err


@pytest.mark.parametrize(
    ("failure", "code"),
    [(KeyboardInterrupt(), 130), (BrokenPipeError(), 141), (OSError(28, "No space", "x"), 1)],
)
def test_interruption_and_a_lost_reader_have_their_codes(
    cli: Cli, monkeypatch: pytest.MonkeyPatch, failure: BaseException, code: int
) -> None:
    def fail(*_: object) -> int:
        raise failure

    monkeypatch.setattr(tracker.cli.calculators, "run_css", fail)
    ran = cli("css", "6:40", "3:10")
    assert ran.code == code
    assert ran.err == ("error: x: No space\n" if code == 1 else "")


def _environment(tmp_path: Path, **more: str) -> dict[str, str]:
    kept = {name: os.environ[name] for name in ("PATH", "LANG") if name in os.environ}
    return kept | {"HOME": str(tmp_path), "PYTHONPATH": str(ROOT), "SLACKWATER_TODAY": "2026-06-30"} | more


def test_a_closed_pipe_ends_it_quietly(tmp_path: Path) -> None:
    reader, writer = os.pipe()
    process = subprocess.Popen(
        [sys.executable, "-m", "tracker", "fault", "list", "--json"],
        cwd=tmp_path,
        env=_environment(tmp_path),
        stdout=writer,
        stderr=subprocess.PIPE,
    )
    os.close(reader)
    os.close(writer)
    _, err = process.communicate(timeout=60)
    assert (process.returncode, err) == (-signal.SIGPIPE, b"")


def _heed_interrupts() -> None:
    """Heed what the suite itself may have been told to ignore, as in the background of a shell."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def wait_until_read(pipe: int, seconds: float = 60.0) -> None:
    """Wait until somebody has taken what was written: the program has started and reads on."""
    end = time.monotonic() + seconds
    left = bytearray(4)
    while fcntl.ioctl(pipe, termios.FIONREAD, left) or any(left):
        assert time.monotonic() < end, "nobody reads"
        time.sleep(0.02)


def test_an_interrupt_ends_it_with_130_and_no_trace(tmp_path: Path) -> None:
    reader, writer = os.pipe()
    process = subprocess.Popen(
        [sys.executable, "-m", "tracker", "judge", "-"],
        cwd=tmp_path,
        env=_environment(tmp_path),
        stdin=reader,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        preexec_fn=_heed_interrupts,  # noqa: PLW1509 - it takes no lock
    )
    os.write(writer, b"swimmer,date,pace\n")
    wait_until_read(reader)
    os.close(reader)
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    os.close(writer)
    assert (process.returncode, out, err) == (130, b"", b"")


@pytest.mark.parametrize(
    "more",
    [
        {"LC_ALL": "tr_TR.UTF-8", "TZ": "Pacific/Kiritimati", "PYTHONIOENCODING": "latin-1"},
        pytest.param({"LC_ALL": "C"}, marks=pytest.mark.thorough),
        pytest.param({"LC_ALL": "tr_TR.UTF-8"}, marks=pytest.mark.thorough),
        pytest.param({"TZ": "Pacific/Kiritimati"}, marks=pytest.mark.thorough),
        pytest.param({"PYTHONIOENCODING": "latin-1"}, marks=pytest.mark.thorough),
    ],
)
def test_locale_and_zone_change_nothing(tmp_path: Path, more: dict[str, str]) -> None:
    words = [sys.executable, "-m", "tracker", "fault", "list", "breath-late"]
    outputs = [
        subprocess.run(
            words, cwd=tmp_path, env=_environment(tmp_path, **extra), capture_output=True, check=True
        ).stdout
        for extra in ({}, more)
    ]
    assert outputs[0] == outputs[1]
    assert b"\x1b" not in outputs[0]


def test_the_environment_is_listed_in_the_help(cli: Cli) -> None:
    names = re.findall(r"SLACKWATER_\w+", cli("--help").out)
    assert {"SLACKWATER_DB", "SLACKWATER_TODAY", "SLACKWATER_WHO"} <= set(names)


@pytest.mark.parametrize(
    "words", [["swims", "\udcff"], ["history", "\udcff"], ["log", "\udcff", "t400", "6:40"]]
)
def test_a_word_that_is_no_text_is_refused(ines: Cli, words: list[str]) -> None:
    ran = ines(*words)
    assert (ran.code, ran.out, ran.err.count("\n")) == (2, "", 1)


NAMES = (
    "Ines Aalto",
    "",
    "=1",
    "\x1b[2J",
    "\ud800",
    "[/]",
    "..",
    "%s{0}",
    "\x00",
    "9" * 50,
    "١٢",
    "breath-late",
)
TIMES = ("1:02.3", "6:40", "-1", "nan", "1e309", "2026-02-30", "2026-06-01", "10x100", "1,2", "3,4", "5,6")
FLAGS = (
    "--date",
    "--course",
    "LCM",
    "--json",
    "--",
    "-x",
    "--note",
    "--by",
    "--side",
    "--score",
    "breathing=3",
    "--points",
)
VERBS = ("css", "t400", "reps", "open", "start", "list", "add", "edit", "show", "set", "band")


def test_any_words_end_in_a_known_code_and_one_line(ines: Cli) -> None:
    """Random words, hostile ones among them: no trace, no escape sequence, one line of error."""
    rng = random.Random(7)  # noqa: S311 - a test's own dice
    bits = (*NAMES, *TIMES, *FLAGS, *VERBS)
    commands = sorted(COMMANDS.keys() - {"open", "serve", "demo", "page", "next", "effects", "export"})
    for _ in range(400):
        words = [rng.choice(commands), *rng.choices(bits, k=rng.randint(0, 6))]
        ran = ines(*words)
        assert ran.code in {0, 2, 3, 4}, words
        assert "\x1b" not in ran.out + ran.err, words
        assert sum(line.startswith("error: ") for line in ran.err.splitlines()) == (ran.code > 0), words
        assert "unexpected" not in ran.err, words
