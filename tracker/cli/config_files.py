"""The settings and their sources: flag, environment, project, user, system, default."""

from __future__ import annotations

import json
import os
import re
import tempfile
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from pathlib import Path

from tracker.cli.parsing import meant, nearest
from tracker.entry.times import parse_number, parse_whole, shown
from tracker.errors import BadFileError, UsageError
from tracker.model.units import checked_course
from tracker.settings import DEFAULT, Settings

PREFIX = "SLACKWATER_"
PERSONAL = ("db", "who")
"""Keys beside the settings; never taken from a project's file, which may be somebody else's."""

Value = str | int | float | bool
_TRUE, _FALSE = {"true", "yes", "on", "1"}, {"false", "no", "off", "0"}
_LEVELS = {"gaining_from", "plateau_from", "slipping_from", "slowed_from"}
_MAY_BE_ZERO = {"push_off_m", "seed"} | _LEVELS


RETIRED = {"cut": "each word has a level of its own; 'slackwater calibrate --apply' finds them"}
"""Settings of earlier versions, with what there is now; where one still stands it is remarked upon."""


@dataclass(frozen=True)
class Setting:
    """One setting: its value and where it stands."""

    value: Value
    origin: str


def known_keys() -> tuple[str, ...]:
    """Return every key of a config file."""
    return (*(field.name for field in fields(Settings)), *PERSONAL)


def read_value(key: str, raw: object) -> Value:
    """Return a setting's value, of its type and inside its range.

    Raises
    ------
    UsageError
        If the key is not known or the value is none for it.
    """
    if key not in known_keys():
        raise UsageError(f"no setting is called {shown(key)}{instead(key)}")
    try:
        return _typed(key, raw)
    except ValueError as wrong:
        raise UsageError(f"setting {key}: {wrong}") from None


def _typed(key: str, raw: object) -> Value:
    kind = type(getattr(DEFAULT, key, ""))
    text = str(raw).strip()
    if kind is bool:
        if text.lower() not in _TRUE | _FALSE:
            raise ValueError(f"{shown(text)} is neither true nor false")
        return text.lower() in _TRUE
    if kind is str:
        if not text:
            raise ValueError("is empty")
        return checked_course(text) if key == "course" else text
    number = parse_whole(text) if kind is int else parse_number(text)
    if number < 0 or (number == 0 and key not in _MAY_BE_ZERO):
        raise ValueError(f"{shown(text)} is not above zero")
    if key in _LEVELS and number and not 0.5 <= number < 1:
        raise ValueError(f"{shown(text)} is neither 0 nor a probability from 0.5 to below 1")
    if key == "season_month" and number > 12:
        raise ValueError(f"{shown(text)} is no month from 1 to 12")
    return number


def read_settings(
    files: Mapping[str, Path], environ: Mapping[str, str]
) -> tuple[dict[str, Setting], tuple[str, ...]]:
    """Return every setting with its origin, and warnings about keys and variables nobody knows.

    Parameters
    ----------
    files
        Config files by origin ("system", "user", "project"), weakest first.
    environ
        The environment.
    """
    found = {field.name: Setting(getattr(DEFAULT, field.name), "default") for field in fields(Settings)}
    warnings: list[str] = []
    for origin, path in files.items():
        warnings += _take_file(origin, path, found)
    warnings += _take_environment(environ, found)
    return found, tuple(warnings)


def _take_file(origin: str, path: Path, found: dict[str, Setting]) -> list[str]:
    warnings = []
    for key, raw in read_file(path).items():
        if key == "keys":
            continue  # other keys for the screens: `screen_config` reads them
        if key not in known_keys():
            warnings.append(f"{path}: {shown(key)} is no setting{instead(key)}")
        elif origin == "project" and key in PERSONAL:
            warnings.append(f"{path}: {key} is not taken from a project's file; set it in your own")
        else:
            found[key] = Setting(_value_in(path, key, raw), f"{origin} file {path}")
    return warnings


def _take_environment(environ: Mapping[str, str], found: dict[str, Setting]) -> list[str]:
    warnings = []
    for name in sorted(environ):
        key = name.removeprefix(PREFIX).lower()
        if not name.startswith(PREFIX) or name == f"{PREFIX}TODAY":
            continue
        if name not in _variables():
            near = [PREFIX + one.upper() for one in nearest(key, (*known_keys(), "today"))]
            hint = f"; did you mean {' or '.join(near)}?" if near else ""
            warnings.append(f"{name} is no variable of slackwater{instead(key) if key in RETIRED else hint}")
        elif environ[name].strip():
            found[key] = Setting(_value_in(name, key, environ[name]), f"environment {name}")
    return warnings


def instead(key: str) -> str:
    """Return what there is instead of a name that is no setting, as the end of a sentence."""
    return f" any more: {RETIRED[key]}" if key in RETIRED else meant(key, known_keys())


def _value_in(place: Path | str, key: str, raw: object) -> Value:
    try:
        return read_value(key, raw)
    except UsageError as wrong:
        raise UsageError(f"{place}: {wrong}", wrong.remedy) from None


def _variables() -> list[str]:
    return [PREFIX + key.upper() for key in (*known_keys(), "TODAY")]


def read_file(path: Path) -> dict[str, object]:
    """Return what stands in a config file; nothing where there is none."""
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as broken:
        raise BadFileError(f"{path} is not a TOML file: {broken}") from None
    except OSError as unreadable:
        raise BadFileError(f"{path} cannot be read: {unreadable.strerror}") from None


def set_in_file(path: Path, key: str, value: Value | None) -> None:
    """Write one setting to the user's file, or take it out with None; other lines stay as they are."""
    from tracker.output.whole_files import private_folder

    before = path.read_text(encoding="utf-8").splitlines() if path.exists() else []
    mine = re.compile(rf"\s*{re.escape(key)}\s*=")
    kept = [line for line in before if not mine.match(line)]
    if value is not None:
        kept.insert(0, f"{key} = {json.dumps(value, ensure_ascii=False)}")
    text = "".join(f"{line}\n" for line in kept)
    tomllib.loads(text)
    private_folder(path.parent)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".config-")
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(path)
    except OSError:
        Path(name).unlink(missing_ok=True)
        raise
