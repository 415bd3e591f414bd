"""A later version of the program, made as a contributor would: a new kind of event, two new fields of a swim.

It is a copy of the package with the number after the newest, so it stays later whatever real migrations come.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import tracker
from tracker.model.event_kinds import EventKind
from tracker.store.migrating import revision
from tracker.store.version import SCHEMA

HEAD, NEXT = revision(SCHEMA), revision(SCHEMA + 1)
PLANTED = f'''
"""A kind of event; a swim's lane, which may be unknown, and its heat, a text that may be empty."""

from __future__ import annotations

import sqlalchemy as sa

from tracker.store.migrations.batch import altered

revision = "{NEXT}"
down_revision = "{HEAD}"


def upgrade() -> None:
    """Widen the rule of an event's kind; add the columns, and a rule for one."""
    kinds = {", ".join(repr(str(kind)) for kind in (EventKind.LAYOFF, "planted", *list(EventKind)[1:]))!r}
    with altered("event") as event:
        event.drop_constraint("event_kind", type_="check")
        event.create_check_constraint("event_kind", f'"kind" IN ({{kinds}})')
    with altered("swim") as swim:
        swim.add_column(sa.Column("planted_lane", sa.Integer(), nullable=True))
        swim.create_check_constraint("swim_planted_lane", '"planted_lane" >= 1 AND "planted_lane" <= 10')
        swim.add_column(sa.Column("planted_heat", sa.String(), nullable=False, server_default=""))
    with altered("swim") as swim:
        swim.alter_column("planted_heat", server_default=None)
'''


@dataclass(frozen=True)
class Program:
    """A version of the program in a folder of its own."""

    folder: Path

    @property
    def migration(self) -> Path:
        """The file of its last migration."""
        return self.folder / "tracker" / "store" / "migrations" / "versions" / f"v{NEXT}_planted.py"

    def __call__(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Run a command."""
        return self._run("-m", "tracker", *words)

    def python(self, code: str, *words: str) -> subprocess.CompletedProcess[str]:
        """Run Python with this version's package."""
        return self._run(
            "-c", f"import tracker; assert {str(self.folder)!r} in tracker.__file__\n{code}", *words
        )

    def _run(self, *words: str) -> subprocess.CompletedProcess[str]:
        own = {"PYTHONPATH": str(self.folder), "HOME": str(self.folder), "SLACKWATER_TODAY": "2026-06-30"}
        own["PYTHONDONTWRITEBYTECODE"] = ""  # or each run compiles the copy again
        return subprocess.run(
            [sys.executable, *words],
            env={**os.environ, **own},
            cwd=self.folder,
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )


def make_next_version(folder: Path) -> Program:
    """Write the next version of the program into a folder."""
    package = folder / "tracker"
    shutil.copytree(Path(tracker.__file__).parent, package)
    _edit(package / "store" / "version.py", r"^SCHEMA = \d+$", f"SCHEMA = {SCHEMA + 1}")
    planted = '    PLANTED = "planted", KindTraits("a planted event", "planted", rank=95)\n'
    _edit(package / "model" / "event_kinds.py", r"^    LAYOFF = .*\n", rf"\g<0>{planted}")
    field = "    planted_lane: int | None = Field(default=None, ge=1, le=10)\n"
    heat = '    planted_heat: Line = ""\n'
    _edit(package / "model" / "swim.py", r'^    note: Remark = ""$', rf"{field}{heat}\g<0>")
    program = Program(folder)
    program.migration.write_text(PLANTED)
    return program


def _edit(file: Path, pattern: str, new: str) -> None:
    text, count = re.subn(pattern, new, file.read_text(), flags=re.MULTILINE)
    assert count == 1, file
    file.write_text(text)


DIES = """
import importlib, os, signal, sys
from tracker.store.database import Store
import tracker.store.migrating
place, module, name, call = sys.argv[1:]
try:
    target = importlib.import_module(module)
except ModuleNotFoundError:
    module, _, kind = module.rpartition(".")
    target = getattr(importlib.import_module(module), kind)
real, left = getattr(target, name), int(call)
def dying(*args, **kwargs):
    global left
    left -= 1
    if not left:
        os.kill(os.getpid(), signal.SIGKILL)
    return real(*args, **kwargs)
setattr(target, name, dying)
Store.open(place)
"""
"""Opens a database and dies as it is about to call a function for the nth time."""
