"""Settings are shown with their origin, set one by one, and refused with a reason."""

from __future__ import annotations

import stat
from pathlib import Path

import pytest

from tests.cli.conftest import Cli

FILE = Path(".config/slackwater/config.toml")


def test_set_and_unset_leave_other_lines_alone(cli: Cli, home: Path) -> None:
    assert cli("config", "set", "course", "lcm").code == 0
    path = home / FILE
    path.write_text('# mine\ncourse = "LCM"\n\n', encoding="utf-8")
    assert cli("config", "set", "health", "yes").code == 0
    assert path.read_text(encoding="utf-8") == 'health = true\n# mine\ncourse = "LCM"\n\n'
    assert cli("config", "unset", "course").code == 0
    assert path.read_text(encoding="utf-8") == "health = true\n# mine\n\n"
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [
        ("bnd", "1", "did you mean band"),
        ("plateau_from", "1.5", "neither 0 nor a probability"),
        ("plateau_from", "0.4", "neither 0 nor a probability"),
        ("plateau_from", "nan", "is not a number"),
        ("cut", "0.8", "each word has a level of its own"),
        ("band", "0", "not above zero"),
        ("min_tests", "8.5", "not a whole number"),
        ("season_month", "13", "is no month from 1 to 12"),
        ("health", "maybe", "neither true nor false"),
        ("course", "XCM", "is not a course"),
    ],
)
def test_nonsense_is_refused(cli: Cli, home: Path, key: str, value: str, said: str) -> None:
    ran = cli("config", "set", key, value)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err
    assert not (home / FILE).exists()


@pytest.mark.parametrize(
    ("text", "code", "said"),
    [
        ("band = [", 4, "is not a TOML file"),
        ('band = "x"', 2, "is not a number"),
        ("bnd = 1", 0, "did you mean band"),
        ("cut = 0.85", 0, "is no setting any more: each word has a level of its own"),
    ],
)
def test_a_spoilt_file_is_named(cli: Cli, home: Path, text: str, code: int, said: str) -> None:
    (home / FILE).parent.mkdir(parents=True)
    (home / FILE).write_text(text, encoding="utf-8")
    ran = cli("css", "6:40", "3:10")
    assert ran.code == code
    assert said in ran.err
    assert str(home / FILE) in ran.err


def test_a_setting_of_an_earlier_version_can_be_taken_out(cli: Cli, home: Path) -> None:
    (home / FILE).parent.mkdir(parents=True)
    (home / FILE).write_text('cut = 0.85\ncourse = "LCM"\n', encoding="utf-8")
    assert cli("config", "unset", "cut").code == 0
    assert (home / FILE).read_text(encoding="utf-8") == 'course = "LCM"\n'
    assert "any more" not in cli("css", "6:40", "3:10").err


def test_a_setting_reaches_the_work(ines: Cli) -> None:
    assert ines("log", "Ines Aalto", "t400", "6:40").out.splitlines()[0].count("SCM") == 1
    assert ines("swimmer", "add", "Bram Toivonen").code == 0
    assert ines("config", "set", "course", "LCM").code == 0
    assert "LCM" in ines("log", "Bram Toivonen", "t400", "6:40").out


def test_a_password_is_not_shown(cli: Cli) -> None:
    shown = cli("--db", "postgresql+psycopg://coach:s3cr%40t@h/db", "config", "show", "db").out
    assert "s3cr" not in shown
    assert "coach:***@h/db" in shown
