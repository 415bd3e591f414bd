"""The settings as the screens see and change them: the same files as ``slackwater config``."""

from __future__ import annotations

import os
from dataclasses import dataclass, fields

from tracker.cli.config_files import read_file, read_settings, read_value, set_in_file
from tracker.cli.wiring import Context
from tracker.errors import UsageError
from tracker.settings import Settings


@dataclass
class ScreenConfig:
    """The settings of one run."""

    ctx: Context

    def rows(self) -> list[tuple[str, str, str]]:
        """Return name, value and origin of each setting."""
        found, _ = read_settings(self.ctx.places.config_files, os.environ)
        names = [field.name for field in fields(Settings)]
        return [(name, _written(found[name].value), found[name].origin) for name in names]

    def keys(self) -> dict[str, str]:
        """Return the ``[keys]`` table of the user's own file: other keys for actions of the screens."""
        path = self.ctx.places.config_files["user"]
        table = read_file(path).get("keys", {}) if path.is_file() else {}
        if not isinstance(table, dict):
            raise UsageError(f"{path}: keys is a table, such as [keys] and below it history = 'f9'")
        return {str(action): str(key) for action, key in table.items()}

    def put(self, name: str, value: str) -> Settings:
        """Write one into the user's own file; return all as they hold from now on."""
        set_in_file(self.ctx.places.config_files["user"], name, read_value(name, value))
        found, _ = read_settings(self.ctx.places.config_files, os.environ)
        return Settings(**{field.name: found[field.name].value for field in fields(Settings)})  # type: ignore[arg-type]


def _written(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
