"""Where the plug-ins are: what only a large club needs, imported when it is asked for and not before.

The layer that needs a plug-in says by a `Protocol` what it must do: `store/backend.py`, `app/workers.py`,
`entry/text_file.py`, `app/export_club.py`. Plug-ins may import any layer; no layer imports a plug-in.
"""

from __future__ import annotations

from importlib import import_module
from types import ModuleType

PLUGINS = {
    "postgresql": "tracker.plugins.server.backend",
    "psycopg": "tracker.plugins.server.errors",
    "coach": "tracker.plugins.server.coach_command",
    "cluster": "tracker.plugins.cluster",
    "read workbook": "tracker.plugins.workbook.reading",
    "write workbook": "tracker.plugins.workbook.writing",
}
"""What is met (the scheme of an address, a driver, a command, a flag, a kind of file) -> its module."""


def load_plugin(name: str) -> ModuleType:
    """Import a plug-in."""
    return import_module(PLUGINS[name])
