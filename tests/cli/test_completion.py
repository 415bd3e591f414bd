"""Completion for shells: scripts that load, words that fit the place; the manual names every flag."""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tracker.cli.commands import COMMANDS, load, parser_of
from tracker.cli.completion import SCRIPTS

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize("shell", sorted(SCRIPTS))
def test_scripts_print_and_load(cli: Cli, shell: str, tmp_path: Path) -> None:
    ran = cli("completion", shell)
    assert (ran.code, ran.err) == (0, "")
    assert "slackwater completion words" in ran.out
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed here")
    script = tmp_path / "script"
    script.write_text(ran.out, encoding="utf-8")
    subprocess.run([shell, "-n", str(script)], check=True)


def test_an_unknown_shell_is_refused(cli: Cli) -> None:
    assert cli("completion", "tcsh").code == 2


@pytest.mark.parametrize(
    ("words", "found"),
    [
        (["swi"], ["swimmer", "swims", "swim"]),
        (["swimmer", "e"], ["edit", "export", "erase"]),
        (["swimmer", "erase", "in"], ["Ines Aalto"]),
        (["swimmer", "consent", "Ines Aalto", "--for", "p"], ["pages"]),
        (["review", "list", "in"], ["Ines Aalto"]),
        (["event", "list", ""], ["Ines Aalto"]),
        (["fault", "steps", ""], ["Ines Aalto"]),
        (["fault", "list", "entry-s"], ["entry-steep"]),
        (["swimmer", "show", "in"], ["Ines Aalto"]),
        (["--db", "x.db", "swims", ""], []),
        (["log", ""], ["Ines Aalto"]),
        (["log", '"In'], ["Ines Aalto"]),
        (["log", "Ines Aalto", "t4"], ["t400"]),
        (["log", "Ines Aalto", "--date", "2026-06-01", "t4"], ["t400"]),
        (["log", "Ines Aalto", "t400", "6:40", "--cour"], ["--course"]),
        (["log", "Ines Aalto", "t400", "6:40", "--course", "L"], ["LCM"]),
        (["log", "Ines Aalto", "t400", "6:40", "--suit", ""], ["none", "wetsuit"]),
        (["fault", "Ines Aalto", "op"], ["open"]),
        (
            ["fault", "Ines Aalto", "open", "breath"],
            ["breath-lift", "breath-late", "breath-held", "breath-one-side"],
        ),
        (["review", "Ines Aalto", "--fault", "kick-k"], ["kick-knees"]),
        (["cue", "Ines Aalto", "st"], ["start", "stop"]),
        (["cue", "Ines Aalto", "l"], ["list"]),
        (["cue", "Ines Aalto", "start", "x", "--fault", "reach"], ["reach-short"]),
        (["scan", "--group", ""], ["Masters"]),
        (["config", "set", "ban"], ["band"]),
        (["nonsense", ""], []),
        (["--nonsense", ""], []),
        (["--quiet", "und"], ["undo"]),
    ],
)
def test_words_fit_their_place(ines: Cli, words: list[str], found: list[str]) -> None:
    assert ines("completion", "words", "--", *words).out.splitlines() == found


def test_names_of_a_server_are_not_asked_for(cli: Cli) -> None:
    ran = cli("--db", "postgresql+psycopg://nobody@192.0.2.1/none", "completion", "words", "--", "swims", "")
    assert (ran.code, ran.out) == (0, "")


@pytest.mark.skipif(shutil.which("bash") is None, reason="bash is not installed here")
def test_bash_completes_a_name_with_a_blank(ines: Cli, tmp_path: Path) -> None:
    assert ines("swimmer", "list").code == 0
    tool = tmp_path / "bin" / "slackwater"
    tool.parent.mkdir()
    tool.write_text(f'#!/bin/sh\nexec {sys.executable} -m tracker "$@"\n', encoding="utf-8")
    tool.chmod(0o755)
    typed = (
        'eval "$(slackwater completion bash)"; COMP_WORDS=(slackwater swims I); COMP_CWORD=2; _slackwater; '
    )
    done = subprocess.run(
        ["bash", "-c", typed + 'printf "%s\\n" "${COMPREPLY[@]}"'],
        env={**os.environ, "PATH": f"{tool.parent}:{os.environ['PATH']}", "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == "Ines\\ Aalto\n"


def test_the_manual_names_every_command_and_every_flag(cli: Cli) -> None:
    page = cli("manual").out.replace("\\-", "-")
    for command in COMMANDS:
        assert f".SS slackwater {command}\n" in page
        parser = parser_of(command, load(command))
        flags = {flag for one in (parser, *parser.verbs().values()) for flag in _flags(one)}
        section = page.split(f".SS slackwater {command}\n")[1].split("\n.SS")[0] + page.split(".SH FLAGS")[1]
        assert flags - set(re.findall(r"(?<![\w-])--?[a-z][a-z-]*", section)) == set()


def _flags(parser: argparse.ArgumentParser) -> set[str]:
    return set(re.findall(r"(?<![\w-])--?[a-z][a-z-]*", parser.format_help().split("example:")[0]))


@pytest.mark.skipif(shutil.which("man") is None, reason="man is not installed here")
def test_the_manual_renders_without_a_warning(cli: Cli, tmp_path: Path) -> None:
    page = tmp_path / "slackwater.1"
    page.write_text(cli("manual").out, encoding="utf-8")
    done = subprocess.run(
        ["man", "--warnings", "-l", str(page)],
        capture_output=True,
        text=True,
        check=True,
        env={"PATH": os.environ["PATH"], "MANWIDTH": "100", "LC_ALL": "C.UTF-8"},
    )
    assert done.stderr == ""
    assert "slackwater swimmer" in done.stdout
