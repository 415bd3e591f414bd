"""What a newcomer writes to add fields of a swim and an event, a kind of event and an area of a review.

Stated as data, so that it shows what each costs: `ADDITIONS`. They are made in a scratch copy of the
program, one after the other, as somebody would who has read the record and nothing else.
"""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from pathlib import Path

import tracker
from tests.store.next_version import Program
from tracker.model.about import words_of
from tracker.model.event_kinds import EventKind
from tracker.store.migrating import revision
from tracker.store.version import SCHEMA

MOST_FILES = 3
"""So many files one addition may touch, its migration among them."""
REPOSITORY = Path(tracker.__file__).parents[1]


@dataclass(frozen=True)
class Edit:
    """A text that takes the place of another in a file; where there was none, the file is new."""

    file: str
    old: str
    new: str


@dataclass(frozen=True)
class Addition:
    """What one addition changes."""

    name: str
    edits: tuple[Edit, ...]

    @property
    def files(self) -> frozenset[str]:
        """The files that it touches."""
        return frozenset(edit.file for edit in self.edits)


def _migration(version: int, does: str) -> tuple[Edit, ...]:
    """Return a version of the tables with the steps that lead to it."""
    return (
        Edit("tracker/store/version.py", f"SCHEMA = {version - 1}", f"SCHEMA = {version}"),
        Edit(
            f"tracker/store/migrations/versions/v{revision(version)}_newcomer.py",
            "",
            f'''"""Written by a newcomer."""

from __future__ import annotations

import sqlalchemy as sa

from tracker.store.migrations.batch import altered

revision = "{revision(version)}"
down_revision = "{revision(version - 1)}"


def upgrade() -> None:
    """Change the tables."""
{does}
''',
        ),
    )


FIELD = Addition(
    "a field of a swim",
    (
        Edit(
            "tracker/model/swim.py",
            '    note: Remark = ""\n',
            '    lane: Annotated[int | None, About("which lane", value="1-10")] = '
            'Field(default=None, ge=1, le=10)\n    note: Remark = ""\n',
        ),
        *_migration(
            SCHEMA + 1,
            """    with altered("swim") as swim:
        swim.add_column(sa.Column("lane", sa.Integer(), nullable=True))
        swim.create_check_constraint("swim_lane", '"lane" >= 1 AND "lane" <= 10')""",
        ),
    ),
)
KIND = Addition(
    "a kind of event",
    (
        Edit(
            "tracker/model/event_kinds.py",
            "    POOL = ",
            '    ALTITUDE = "altitude", KindTraits("a stay at altitude", "altitude", rank=95)\n    POOL = ',
        ),
        *_migration(
            SCHEMA + 2,
            f"""    kinds = {(*words_of(EventKind), "altitude")}
    with altered("event") as event:
        event.drop_constraint("event_kind", type_="check")
        event.create_check_constraint("event_kind", f'"kind" IN {{kinds}}')""",
        ),
    ),
)
AREA = Addition(
    "an area of a review",
    (
        Edit(
            "tracker/model/faults.toml",
            "-- measures\n",
            """-- measures

[[area]]
slug = "turn"
name = "turn"
steps = ["Stops at the wall.", "Slow in and out.", "Slow in or out.", "Quick.", "Quick, long glide."]

""",
        ),
    ),
)
EVENT_FIELD = Addition(
    "a field of an event",
    (
        Edit(
            "tracker/model/event.py",
            "    note: Annotated[\n",
            '    place: Annotated[Line, About("where it was")] = ""\n    note: Annotated[\n',
        ),
        Edit(
            "tracker/model/event.py", "import FirstDay, LastDay, Name", "import FirstDay, LastDay, Line, Name"
        ),
        *_migration(
            SCHEMA + 3,
            """    with altered("event") as event:
        event.add_column(sa.Column("place", sa.String(), nullable=False, server_default=""))
    with altered("event") as event:
        event.alter_column("place", server_default=None)""",
        ),
    ),
)
HEALTH_FIELD = Addition(
    "a field of an event that is health data",
    (
        Edit(
            "tracker/model/event.py",
            "    note: Annotated[\n",
            '    treatment: Annotated[Line, About("how it was treated", health="always")] = ""\n'
            "    note: Annotated[\n",
        ),
        *_migration(
            SCHEMA + 4,
            """    with altered("event") as event:
        event.add_column(sa.Column("treatment", sa.String(), nullable=False, server_default=""))
    with altered("event") as event:
        event.alter_column("treatment", server_default=None)""",
        ),
    ),
)
ADDITIONS = (FIELD, KIND, AREA, EVENT_FIELD, HEALTH_FIELD)


def copy_program(folder: Path) -> Program:
    """Return the program as it is, in a folder of its own."""
    shutil.copytree(REPOSITORY / "tracker", folder / "tracker", ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "tests" / "output").mkdir(parents=True)
    shutil.copy(REPOSITORY / "tests" / "__init__.py", folder / "tests")  # or a library's own tests come first
    shutil.copy(REPOSITORY / "tests" / "output" / "club_schema.py", folder / "tests" / "output")
    shutil.copy(REPOSITORY / "pyproject.toml", folder)
    return Program(folder)


def add_to(program: Program, addition: Addition) -> None:
    """Make one addition; every text that it replaces must stand there once."""
    for edit in addition.edits:
        file = program.folder / edit.file
        text = file.read_text() if edit.old else ""
        assert file.exists() == bool(edit.old), f"{edit.file} is there already, or is not"
        assert not edit.old or text.count(edit.old) == 1, f"{edit.file}: {edit.old!r}"
        file.write_text(text.replace(edit.old, edit.new) if edit.old else edit.new)
