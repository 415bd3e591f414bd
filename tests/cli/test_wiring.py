"""Where the database, the settings, the day and the user's name come from."""

from __future__ import annotations

import stat
from argparse import Namespace
from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tracker.cli.wiring import find_app_dirs, wire
from tracker.tui.context import AppContext
from tracker.tui.run import DRIVER_VARIABLE


def _origin(cli: Cli, key: str) -> tuple[object, str]:
    setting = cli("config", "show", key, "--json").json["settings"][key]
    return setting["value"], setting["origin"].split(" ")[0]


def test_each_level_beats_the_one_below(cli: Cli, home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert _origin(cli, "band") == (0.25, "default")
    system = home / "etc"
    monkeypatch.setenv("XDG_CONFIG_DIRS", str(system))
    levels = [
        (system / "slackwater" / "config.toml", 0.3, "system"),
        (home / ".config" / "slackwater" / "config.toml", 0.4, "user"),
        (home / "slackwater.toml", 0.5, "project"),
    ]
    for path, value, origin in levels:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"band = {value}\n", encoding="utf-8")
        assert _origin(cli, "band") == (value, origin)
    monkeypatch.setenv("SLACKWATER_BAND", "0.6")
    assert _origin(cli, "band") == (0.6, "environment")


def test_the_database_is_flag_then_environment_then_config_then_data_folder(
    cli: Cli, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert _origin(cli, "db") == (str(home / ".local/share/slackwater/slackwater.db"), "default")
    assert cli("config", "set", "db", str(home / "c.db")).code == 0
    assert _origin(cli, "db") == (str(home / "c.db"), "user")
    monkeypatch.setenv("SLACKWATER_DB", str(home / "e.db"))
    assert _origin(cli, "db") == (str(home / "e.db"), "environment")
    shown = cli("--db", "f.db", "config", "show", "db", "--json").json["settings"]["db"]
    assert shown == {"value": "f.db", "origin": "flag --db"}


def test_a_projects_file_says_neither_where_data_go_nor_who_writes(cli: Cli, home: Path) -> None:
    (home / "slackwater.toml").write_text("db = 'postgresql://x/y'\nwho = 'z'\n", encoding="utf-8")
    ran = cli("config", "show", "--json")
    assert "postgresql" not in ran.json["settings"]["db"]["value"]
    assert ran.json["settings"]["who"]["value"] == "Maud"
    assert ran.err.count("is not taken from a project's file") == 2


def test_folders_follow_xdg_and_relative_ones_are_ignored(home: Path) -> None:
    dirs = find_app_dirs({"HOME": str(home), "XDG_DATA_HOME": str(home / "d"), "XDG_CONFIG_HOME": "rel"})
    assert dirs.data == home / "d" / "slackwater"
    assert dirs.config == home / ".config" / "slackwater"
    assert dirs.state == home / ".local" / "state" / "slackwater"
    assert dirs.cache == home / ".cache" / "slackwater"


def test_the_data_folder_is_the_users_alone(ines: Cli, home: Path) -> None:
    assert ines("swims", "Ines Aalto").code == 0
    folder = home / ".local/share/slackwater"
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert stat.S_IMODE((folder / "slackwater.db").stat().st_mode) == 0o600
    assert {path.name for path in home.iterdir()} == {".local"}


def test_an_unknown_variable_of_ours_is_warned_about(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SLACKWATER_BNAD", "1")
    ran = cli("css", "6:40", "3:10")
    assert ran.code == 0
    assert ran.err == "warning: SLACKWATER_BNAD is no variable of slackwater; did you mean SLACKWATER_BAND?\n"


def test_the_day_is_the_flag_or_the_variable_or_the_clock() -> None:
    fixed = wire(Namespace(), {"HOME": "/", "SLACKWATER_TODAY": "2026-06-30"})
    assert (fixed.as_of.isoformat(), fixed.as_of_given, fixed.day_fixed) == ("2026-06-30", None, True)
    flagged = wire(Namespace(as_of="2026-05-01"), {"HOME": "/", "SLACKWATER_TODAY": "2026-06-30"})
    assert (str(flagged.as_of), str(flagged.as_of_given)) == ("2026-05-01", "2026-05-01")
    assert flagged.now.date().isoformat() == "2026-06-30"
    free = wire(Namespace(), {"HOME": "/"})
    assert not free.day_fixed
    assert abs((free.as_of - free.now.date()).days) <= 1


@pytest.mark.parametrize(
    ("environment", "color"),
    [({}, True), ({"NO_COLOR": ""}, True), ({"NO_COLOR": "1"}, False), ({"TERM": "dumb"}, False)],
)
def test_colour_follows_the_conventions(environment: dict[str, str], color: bool) -> None:
    assert wire(Namespace(), {"HOME": "/", **environment}).color is color
    assert wire(Namespace(no_color=True), {"HOME": "/"}).color is False


def test_a_reading_command_makes_no_database(cli: Cli, home: Path) -> None:
    ran = cli("scan")
    assert ran.code == 2
    assert "there is no database" in ran.err
    assert list(home.iterdir()) == []


def test_the_screens_name_the_check_of_the_very_database_they_opened(
    cli: Cli, monkeypatch: pytest.MonkeyPatch
) -> None:
    named: list[str] = []
    monkeypatch.setenv(DRIVER_VARIABLE, "1")

    def run_app(context: AppContext, *, mouse: bool) -> int:
        named.append(context.check)
        return int(not mouse)

    monkeypatch.setattr("tracker.tui.run.run_app", run_app)
    assert cli("open").code == 0
    assert cli("--db", "other club.db", "open").code == 0
    assert named == ["slackwater check", "slackwater check --db 'other club.db'"]


def test_what_a_person_should_know_about_the_database_is_said_by_every_command(cli: Cli, home: Path) -> None:
    assert cli("swimmer", "add", "Ines Aalto").err == ""
    (home / ".local/share/slackwater/slackwater.db").chmod(0o644)
    for words in (("swimmer", "list"), ("log", "Ines Aalto", "t400", "6:40")):
        ran = cli(*words)
        assert ran.code == 0
        assert "others can read" in ran.err
        assert "check --fix" in ran.err
