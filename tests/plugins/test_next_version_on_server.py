"""A whole migration on a server: its keeper brings it to the next version, its coaches go on."""

from __future__ import annotations

import datetime as dt
import json
import signal
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from tests.builders import a_session
from tests.conftest import run_sql
from tests.store.next_version import DIES, Program, make_next_version
from tracker.errors import BadFileError
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.plugins.server import row_security
from tracker.plugins.server.coaches import add_coach
from tracker.store.checksum_renewal import damaged_rows
from tracker.store.database import Store
from tracker.store.version import SCHEMA

NOW = dt.datetime(2026, 6, 30, 12, 0, tzinfo=dt.UTC)
DAY = dt.date(2026, 5, 4)
ANA, BO = "Ana Prova", "Bo Prova"

SHAPE = """
import json, re, sys
from sqlalchemy import inspect
from tracker.store import engine as db
from tracker.store.database import Store
from tracker.store.checksum_renewal import damaged_rows

def words(rule):
    return sorted(re.findall(r"[^\\s,()\\[\\]]+", rule))

def told(store):
    found = inspect(store.engine)
    return {
        name: [
            sorted([c["name"], str(c["type"]), c["nullable"], c["default"]] for c in found.get_columns(name)),
            sorted([c["name"], words(c["sqltext"])] for c in found.get_check_constraints(name)),
            sorted(c["column_names"] for c in found.get_unique_constraints(name)),
            sorted([i["name"], i["column_names"]] for i in found.get_indexes(name)),
            sorted([k["constrained_columns"], str(k["options"])] for k in found.get_foreign_keys(name)),
        ]
        for name in found.get_table_names()
    }

migrated, new = (Store.open(place) for place in sys.argv[1:])
with migrated.read() as reader:
    assert not any(damaged_rows(reader.connection).values()), damaged_rows(reader.connection)
    forced = reader.connection.exec_driver_sql(
        "SELECT relname FROM pg_class WHERE relkind = 'r' AND relrowsecurity AND relforcerowsecurity"
    ).scalars().all()
forced.sort()
a, b = told(migrated), told(new)
print(json.dumps([[name for name in a if a[name] != b.get(name)], len(a) == len(b), forced]))
"""

COACH = """
import datetime as dt, json, sys
from tracker.errors import SlackwaterError
from tracker.model.event import Event
from tracker.model.swim import Swim
from tracker.store.database import Store
now, day = dt.datetime(2026, 7, 1, tzinfo=dt.UTC), dt.date(2026, 6, 1)
store = Store.open(sys.argv[1])
undone = store.undo(at=now)
redone = store.redo(at=now)
with store.write(who="x", what="new", at=now) as writer:
    swim = dict(date=day, swimmer="Ana Prova", distance_m=400, time_s=400)
    writer.add([Swim(**swim, planted_lane=3, planted_heat="b"),
                Event(from_date=day, swimmer="Ana Prova", kind="planted")])
refused = False
try:
    with store.write(who="x", what="new", at=now) as writer:
        writer.add([Swim(date=day, swimmer="Bo Prova", distance_m=400, time_s=400)])
except SlackwaterError:
    refused = True
with store.read() as reader:
    swims = [[k.record.swimmer, k.record.time_s, k.record.planted_lane, k.record.planted_heat]
             for k in reader.all(Swim)]
undone_too = [store.undo(at=now), store.undo(at=now)]
print(json.dumps([undone, redone, refused, swims, undone_too]))
"""


@dataclass
class Club:
    """The keeper sees all; the coach sees Ana alone."""

    url: str
    keeper: str
    coach: str


@pytest.fixture(scope="module")
def later(tmp_path_factory: pytest.TempPathFactory) -> Program:
    return make_next_version(tmp_path_factory.mktemp("later"))


@pytest.fixture
def club(new_database: Callable[[], str]) -> Club:
    """Tables of this version, with a history of the keeper's and of the coach's, some of it taken back."""
    url = new_database()
    name = url.split("/")[3].split("?")[0]
    keeper, anna = f"keeper_{name}", f"anna_{name}"
    run_sql(url, f"CREATE ROLE {keeper} LOGIN CREATEROLE", f"ALTER DATABASE {name} OWNER TO {keeper}")
    own = Club(url, url.replace("postgres:@", f"{keeper}@"), url.replace("postgres:@", f"{anna}@"))
    store = Store.open(own.keeper)
    with store.write(who="x", what="begin", at=NOW) as writer:
        writer.add([Swimmer(swimmer=ANA, group="Masters"), Swimmer(swimmer=BO, group="Juniors")])
        writer.add([a_swim(ANA, 405), a_swim(BO, 300)])
    add_coach(a_session(store), anna, ["Masters"])
    store.close()
    store = Store.open(own.coach)
    with store.write(who="x", what="log", at=NOW) as writer:
        writer.add([a_swim(ANA, 404)])
    with store.write(who="x", what="correct", at=NOW) as writer:
        writer.change(Swim, 1, time_s=399.5)
    with store.write(who="x", what="delete", at=NOW) as writer:
        writer.remove(Swim, 3)
    store.close()
    return own


def a_swim(swimmer: str, time_s: float) -> Swim:
    return Swim(date=DAY, swimmer=swimmer, test="t400", distance_m=400, time_s=time_s, note="ünïcode")


def version(club: Club) -> int:
    return int(run_sql(club.url, "SELECT value FROM state WHERE name = 'schema'")[0][0])


@pytest.mark.thorough
def test_the_keeper_migrates_and_the_coaches_go_on(
    club: Club, later: Program, new_database: Callable[[], str]
) -> None:
    window = Store.open(club.coach)
    refused = later("--db", club.coach, "swims", ANA)
    assert (refused.returncode, refused.stderr.count("\n")) == (2, 1), refused
    assert "the login that made them" in refused.stderr
    assert version(club) == SCHEMA

    migrated = later("--db", club.keeper, "swims", ANA)
    assert migrated.returncode == 0, migrated.stderr
    assert version(club) == SCHEMA + 1
    shape = later.python(SHAPE, club.keeper, new_database())
    assert shape.returncode == 0, shape.stderr
    assert json.loads(shape.stdout) == [[], True, sorted(row_security.RULES)]

    with (
        pytest.raises(BadFileError, match="later slackwater"),
        window.write(who="x", what="late", at=NOW) as writer,
    ):
        writer.add([a_swim(ANA, 1)])
    window.close()

    coached = later.python(COACH, club.coach)
    assert coached.returncode == 0, coached.stderr
    undone, redone, refused_too, swims, undone_too = json.loads(coached.stdout)
    assert (undone, redone, refused_too) == ("delete", "delete", True)
    assert swims == [[ANA, 399.5, None, ""], [ANA, 400.0, 3, "b"]]
    assert undone_too == ["new", "delete"]
    rows = run_sql(club.url, "SELECT id, time_s, planted_lane, planted_heat, note FROM swim ORDER BY id")
    assert rows == [
        (1, 399.5, None, "", "ünïcode"),
        (2, 300.0, None, "", "ünïcode"),
        (3, 404.0, None, "", "ünïcode"),
    ]
    assert json.loads(later.python(SHAPE, club.keeper, club.keeper).stdout)[0] == []


def test_a_keeper_who_does_not_see_every_row_may_not_migrate(club: Club, later: Program) -> None:
    """Row security binds the owner too: what it hides would keep the earlier checksums."""
    run_sql(club.url, "UPDATE coach SET everything = false")
    refused = later("--db", club.keeper, "scan")
    assert (refused.returncode, version(club)) == (2, SCHEMA), refused
    assert "sees every swimmer" in refused.stderr


@pytest.mark.thorough
def test_damage_on_a_server_is_not_made_good(club: Club, later: Program) -> None:
    run_sql(club.url, "UPDATE swim SET time_s = 1 WHERE id = 2")
    store = Store.open(club.keeper)
    with store.read() as reader:
        assert {
            name: set(numbers) for name, numbers in damaged_rows(reader.connection).items() if numbers
        } == {"swim": {2}}
    store.close()
    assert later("--db", club.keeper, "swims", ANA).returncode == 0
    found = later.python(SHAPE, club.keeper, club.keeper)
    assert "'swim': frozenset({2})" in found.stderr


@pytest.mark.parametrize(
    ("module", "name", "call", "is_new"),
    [
        pytest.param(
            "tracker.plugins.server.backend.PostgreSQL", "mark_schema", 1, False, marks=pytest.mark.thorough
        ),
        pytest.param("tracker.store.migrations.batch", "altered", 2, False, marks=pytest.mark.thorough),
        pytest.param("sqlalchemy.Connection", "invalidate", 1, True, marks=pytest.mark.thorough),
    ],
)
def test_killed_at_any_point_it_is_the_old_or_the_new(
    club: Club, later: Program, module: str, name: str, call: int, *, is_new: bool
) -> None:
    killed = later.python(DIES, club.keeper, module, name, str(call))
    assert killed.returncode == -signal.SIGKILL, killed.stderr
    assert version(club) == SCHEMA + is_new
    if not is_new:
        store = Store.open(club.keeper)
        with store.read() as reader:
            assert not any(damaged_rows(reader.connection).values())
            assert [kept.record.time_s for kept in reader.all(Swim)] == [399.5, 300]
        store.close()
    opened = later.python(SHAPE, club.keeper, club.keeper)
    assert opened.returncode == 0, opened.stderr
    assert version(club) == SCHEMA + 1
