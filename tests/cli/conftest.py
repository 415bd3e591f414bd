"""The command line run inside the test's process, with a home of its own."""

from __future__ import annotations

import io
import json
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tracker.cli.main import main


@dataclass(frozen=True)
class Ran:
    """What a command left behind."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """Its output as JSON; NaN and Infinity are refused."""
        return json.loads(self.out, parse_constant=_refuse)


def _refuse(name: str) -> None:
    raise ValueError(f"{name} is no JSON")


Cli = Callable[..., Ran]


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty home, the day fixed, no variable of ours but that one, no terminal."""
    for name in list(os.environ):
        if name.startswith(("SLACKWATER_", "XDG_")):
            monkeypatch.delenv(name)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("SLACKWATER_TODAY", "2026-06-30")
    monkeypatch.setenv("SLACKWATER_WHO", "Maud")
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def cli(home: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Cli:
    """Run ``slackwater`` with these words; the database is the default one of `home`."""
    assert home.is_dir()

    def run(*words: str, stdin: bytes = b"") -> Ran:
        capsys.readouterr()
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin), "utf-8"))
        code = main(list(words))
        out, err = capsys.readouterr()
        return Ran(code, out, err)

    return run


@pytest.fixture
def ines(cli: Cli) -> Cli:
    """The same, with one swimmer, Ines Aalto."""
    assert cli("swimmer", "add", "Ines Aalto", "--group", "Masters", "--born", "1988").code == 0
    return cli
