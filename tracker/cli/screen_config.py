"""The settings as the screens see and change them: the same files as ``slackwater config``."""

from __future__ import annotations

import os
from dataclasses import dataclass, fields

from tracker.cli.config_files import read_settings, read_value, set_in_file
from tracker.cli.wiring import Context
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

    def put(self, name: str, value: str) -> Settings:
        """Write one into the user's own file; return all as they hold from now on."""
        set_in_file(self.ctx.places.config_files["user"], name, read_value(name, value))
        found, _ = read_settings(self.ctx.places.config_files, os.environ)
        return Settings(**{field.name: found[field.name].value for field in fields(Settings)})  # type: ignore[arg-type]


def _written(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
