"""Coaches on one server, held apart by the database itself."""
# ruff: noqa: S608 - statements about our own tables

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from sqlalchemy import text

from tests.builders import a_session
from tests.conftest import run_sql
from tracker.errors import SlackwaterError, UnknownNameError, UsageError
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Choice, Consent, Swimmer
from tracker.model.told import Told
from tracker.model.work import Work
from tracker.plugins.server import coaches, row_security
from tracker.store.database import Store
from tracker.store.tables import METADATA

NOW = dt.datetime(2026, 6, 30, 12, 0, tzinfo=dt.UTC)
DAY = dt.date(2026, 5, 4)
NAMES = {"Masters": "Ana Prova", "Juniors": "Bo Prova", "Squad": "Cem Prova"}


ELSE: dict[type, dict[str, object]] = {
    FaultStep: {"date": DAY, "fault": "breath-late", "step": "open"},
    ReviewItem: {"date": DAY, "reviewer": "x", "kind": "score", "item": "catch", "value": 3},
    Event: {"from_date": DAY, "kind": "camp"},
    Load: {"week": DAY, "sessions": 3},
    Work: {"from_date": DAY, "kind": "cue", "text": "reach"},
    Choice: {"date": DAY, "kind": "seen", "value": "plateau", "by": "x"},
    Told: {"date": DAY, "verdict": "plateau", "p": 0.9, "who": "x"},
    Consent: {"date": DAY, "purpose": "pages", "ground": "consent", "given_by": "self", "how": "form"},
}


@dataclass
class Club:
    """One swimmer a group: Masters are A's, Juniors B's, the Squad is both's."""

    keeper: Store
    a: Store
    b: Store
    url: str

    def as_(self, login: str) -> str:
        return self.url.replace("postgres:@", f"{login}@")


def a_swim(swimmer: str) -> Swim:
    return Swim(date=DAY, swimmer=swimmer, test="t400", distance_m=400, time_s=405)


@pytest.fixture
def club(new_database: Callable[[], str]) -> Iterator[Club]:
    """The keeper owns the tables and is no superuser, as it should be."""
    url = new_database()
    name = url.rpartition("/")[2].partition("?")[0] if "?" not in url else url.split("/")[3].split("?")[0]
    logins = {who: f"{who}_{name}" for who in ("keeper", "anna", "ben")}
    run_sql(
        url,
        f"CREATE ROLE {logins['keeper']} LOGIN CREATEROLE",
        f"ALTER DATABASE {name} OWNER TO {logins['keeper']}",
    )
    own = Club(None, None, None, url)
    own.keeper = Store.open(own.as_(logins["keeper"]))
    with own.keeper.write(who="x", what="begin", at=NOW) as writer:
        writer.add([Swimmer(swimmer=who, group=group) for group, who in NAMES.items()])
        writer.add([a_swim(who) for who in NAMES.values()])
        for who in NAMES.values():
            writer.add([kind(swimmer=who, **fields) for kind, fields in ELSE.items()])
    coaches.add_coach(a_session(own.keeper), logins["anna"], ["Masters", "Squad"])
    coaches.add_coach(a_session(own.keeper), logins["ben"], ["Juniors", "Squad"])
    own.a, own.b = Store.open(own.as_(logins["anna"])), Store.open(own.as_(logins["ben"]))
    yield own
    for store in (own.keeper, own.a, own.b):
        store.close()


def rows(store: Store, query: str) -> list[tuple[Any, ...]]:
    with store.read() as reader:
        return [tuple(row) for row in reader.connection.execute(text(query))]


def touched(store: Store, statement: str) -> int:
    with store.write(who="x", what="by hand", at=NOW) as writer:
        return writer.connection.execute(text(statement)).rowcount


def test_a_coach_sees_the_groups_shared_with_them_and_no_other(club: Club) -> None:
    with club.a.read() as reader:
        assert reader.labels() == ["Ana Prova", "Cem Prova"]
        assert {kept.record.swimmer for kept in reader.all(Swim)} == {"Ana Prova", "Cem Prova"}
        assert not reader.sees_everything
        with pytest.raises(UnknownNameError) as caught:
            reader.swimmer("Bo Prova")
        assert "Bo Prova" not in caught.value.nearest
        with pytest.raises(UnknownNameError):
            reader.one(Swim, 2)
    with club.keeper.read() as reader:
        assert reader.labels() == sorted(NAMES.values())
        assert reader.sees_everything


def test_nothing_of_anothers_swimmer_is_in_any_table(club: Club) -> None:
    for table in row_security.RULES:
        check_hidden(club, table)


def check_hidden(club: Club, table: str) -> None:
    """By the row's number too; nor can it be changed or deleted."""
    whose = "swimmer" if table not in {"history_entry", "history_step"} else "''"
    seen = rows(club.a, f"SELECT {whose}, * FROM {table}")
    assert "Bo Prova" not in {row[0] for row in seen}
    if whose == "swimmer":
        hidden = rows(club.keeper, f"SELECT id FROM {table} WHERE swimmer = 'Bo Prova'")
        assert hidden
        number = hidden[0][0]
        assert rows(club.a, f"SELECT * FROM {table} WHERE id = {number}") == []
        assert touched(club.a, f"UPDATE {table} SET version = 9 WHERE id = {number}") == 0
        assert touched(club.a, f"DELETE FROM {table} WHERE id = {number}") == 0


def test_a_record_for_anothers_swimmer_is_refused_like_one_for_nobody(club: Club) -> None:
    """Neither error tells whether there is such a swimmer."""
    said = []
    for name in ("Bo Prova", "Nobody Here"):
        with (
            pytest.raises(UsageError, match="your login may not") as caught,
            club.a.write(who="x", what="log", at=NOW) as writer,
        ):
            writer.add([a_swim(name)])
        said.append(str(caught.value))
        assert name not in said[-1]
    assert said[0] == said[1]


def test_a_swimmer_is_neither_taken_nor_pushed_over(club: Club) -> None:
    assert touched(club.a, "UPDATE swimmer SET \"group\" = 'Masters' WHERE swimmer = 'Bo Prova'") == 0
    assert touched(club.a, "UPDATE swim SET swimmer = 'Ana Prova' WHERE swimmer = 'Bo Prova'") == 0
    for statement in (
        "UPDATE swimmer SET \"group\" = 'Juniors' WHERE swimmer = 'Ana Prova'",
        "UPDATE swim SET swimmer = 'Bo Prova' WHERE swimmer = 'Ana Prova'",
    ):
        with pytest.raises(UsageError, match="your login may not"):
            touched(club.a, statement)
    with pytest.raises(UsageError, match="your login may not"), club.a.write(who="x", what="y", at=NOW) as w:
        w.add([Swimmer(swimmer="Dee Prova", group="Juniors")])


def test_views_and_copy_obey_the_rules(club: Club) -> None:
    """Also a view that the tables' owner made."""
    touched(club.keeper, "CREATE VIEW everyone AS SELECT swimmer FROM swim")
    touched(club.keeper, "GRANT SELECT ON everyone TO PUBLIC")
    assert {name for (name,) in rows(club.a, "SELECT swimmer FROM everyone")} == {"Ana Prova", "Cem Prova"}
    with club.a.read() as reader:
        driver = reader.connection.connection.driver_connection
        with driver.cursor().copy("COPY swim TO STDOUT") as copy:
            assert b"Bo Prova" not in b"".join(bytes(part) for part in copy)
    with pytest.raises(UsageError, match="your login may not"):
        touched(club.a, "CREATE TABLE own (x int)")


def test_a_connection_is_as_new_for_whoever_has_it_next(club: Club) -> None:
    """A pool between: one login takes on a coach's role, and leaves it behind."""
    url = club.as_(club.keeper.engine.url.username)
    login = club.a.engine.url.username
    run_sql(club.url, f'GRANT "{login}" TO "{club.keeper.engine.url.username}" WITH SET TRUE')
    pool = Store.open(url)
    for _ in range(2):
        with pool.engine.connect() as connection:
            before = connection.execute(text("SELECT current_user, count(*) FROM swimmer")).one()
            assert before == (pool.engine.url.username, 3)
            connection.execute(text(f'SET ROLE "{login}"'))
            assert connection.execute(text("SELECT count(*) FROM swimmer")).scalar() == 2
            connection.commit()
    pool.close()


def test_a_login_that_nothing_was_shared_with_sees_nothing(club: Club) -> None:
    name = f"zoe_{club.a.engine.url.database}"
    coaches.add_coach(a_session(club.keeper), name)
    store = Store.open(club.as_(name))
    for table in row_security.RULES:
        assert rows(store, f"SELECT * FROM {table}") == []
    store.close()
    run_sql(club.url, f"CREATE ROLE stranger_{name} LOGIN")
    with pytest.raises(UsageError, match="your login may not"):
        Store.open(club.as_(f"stranger_{name}"))


def test_the_owner_too_is_bound_and_no_coach_can_lift_the_rules(club: Club) -> None:
    touched(
        club.keeper, f"UPDATE coach SET everything = false WHERE login = '{club.keeper.engine.url.username}'"
    )
    assert rows(club.keeper, "SELECT * FROM swim") == []
    for statement in (
        "ALTER TABLE swim DISABLE ROW LEVEL SECURITY",
        "UPDATE coach SET everything = true",
        "INSERT INTO coach_group SELECT login, 'Juniors' FROM coach",
    ):
        with pytest.raises(UsageError, match="your login may not"):
            touched(club.a, statement)


def test_every_table_with_a_swimmers_data_is_forced(club: Club) -> None:
    found = rows(
        club.keeper,
        "SELECT relname FROM pg_class WHERE relkind = 'r' AND relrowsecurity AND relforcerowsecurity",
    )
    naming = {table.name for table in METADATA.tables.values() if "swimmer" in table.c}
    wanted = naming | {"history_entry", "history_step"}
    assert {name for (name,) in found} == wanted == set(row_security.RULES)
    bad = rows(
        club.keeper,
        "SELECT rolname FROM coach JOIN pg_roles ON rolname = login WHERE rolsuper OR rolbypassrls",
    )
    assert bad == []
    owners = {
        name for (name,) in rows(club.keeper, "SELECT tableowner FROM pg_tables WHERE schemaname = 'public'")
    }
    assert owners == {club.keeper.engine.url.username}


def test_the_history_says_who_and_nobody_signs_for_another(club: Club) -> None:
    with club.a.write(who="somebody else", what="log for Cem Prova", at=NOW) as writer:
        writer.add([a_swim("Cem Prova")])
    with club.b.read() as reader:
        (line, *_) = reader.history("Cem Prova")
        assert (line.who, line.swimmers) == (club.a.engine.url.username, ("Cem Prova",))
    with club.a.write(who="x", what="log for Ana Prova", at=NOW) as writer:
        writer.add([a_swim("Ana Prova")])
    with club.b.read() as reader:
        assert "log for Ana Prova" not in {line.what for line in reader.history()}
    with pytest.raises(UsageError, match="your login may not"):
        touched(
            club.a,
            "INSERT INTO history_entry (version, seal, at, who, what, state, undone_at, undone_by) "
            f"VALUES (1, 0, '', '{club.b.engine.url.username}', '', 'done', '', '')",
        )


def test_undo_takes_back_ones_own_and_never_over_another(club: Club) -> None:
    with club.a.write(who="x", what="log", at=NOW) as writer:
        (number,) = writer.add([a_swim("Cem Prova")])
    with club.b.write(who="x", what="log for Bo", at=NOW) as writer:
        writer.add([a_swim("Bo Prova")])
    assert club.a.undo(at=NOW) == "log"
    assert club.a.redo(at=NOW) == "log"
    with club.b.write(who="x", what="edit", at=NOW) as writer:
        writer.change(Swim, number, time_s=399.0)
    with pytest.raises(UsageError, match="has changed something of Cem Prova since"):
        club.a.undo(at=NOW)
    assert club.b.undo(at=NOW) == "edit"
    assert club.a.undo(at=NOW) == "log"


def test_a_rename_by_one_coach_reaches_the_others_history(club: Club) -> None:
    with club.b.write(who="x", what="log", at=NOW) as writer:
        writer.add([a_swim("Cem Prova")])
    with club.a.write(who="x", what="rename", at=NOW) as writer:
        writer.change(Swimmer, reader_id(club.a, "Cem Prova"), swimmer="Cem Nuova")
    with club.b.read() as reader:
        assert [kept.record.swimmer for kept in reader.all(Swim, swimmer="Cem Nuova")] == ["Cem Nuova"] * 2
        assert len(reader.history("Cem Nuova")) == 3


def reader_id(store: Store, name: str) -> int:
    with store.read() as reader:
        return reader.swimmer(name).id


def test_sharing_and_unsharing_take_effect_at_once(club: Club) -> None:
    login = club.a.engine.url.username
    coaches.share_groups(a_session(club.keeper), login, ["Juniors"])
    coaches.unshare_groups(a_session(club.keeper), login, ["Masters"])
    with club.a.read() as reader:
        assert reader.labels() == ["Bo Prova", "Cem Prova"]
    own = {coach.login: coach.groups for coach in coaches.list_coaches(a_session(club.a))}
    assert own[login] == ("Juniors", "Squad")
    coaches.remove_coach(a_session(club.keeper), login)
    with pytest.raises(SlackwaterError), club.a.read():
        pass


def test_only_the_keeper_decides_and_only_for_logins_that_can_be_bound(club: Club) -> None:
    with pytest.raises(UsageError, match="only the login that made"):
        coaches.share_groups(a_session(club.a), club.a.engine.url.username, ["Juniors"])
    for name, said in (("postgres", "superuser"), ('x"; DROP', "is no login"), ("Ünal", "is no login")):
        with pytest.raises(UsageError, match=said):
            coaches.add_coach(a_session(club.keeper), name)
    with pytest.raises(UsageError, match="lock yourself out"):
        coaches.remove_coach(a_session(club.keeper), club.keeper.engine.url.username)


def test_a_coach_may_import_many_rows(club: Club, monkeypatch) -> None:
    """Only who owns a table may have it looked at; a coach's import goes on without."""
    monkeypatch.setattr("tracker.plugins.server.backend._MANY", 2)
    who = next(name for group, name in NAMES.items() if group == "Masters")
    row = tuple(getattr(a_swim(who), name) for name in Swim.model_fields)
    with club.a.write(who="x", what="import", at=NOW) as writer:
        writer.add_rows(Swim, [row] * 3, 3)
    with club.a.read() as reader:
        assert len(reader.all(Swim, swimmer=who)) == 4


@pytest.mark.file_only(reason="what a file does not have")
def test_a_file_has_no_coaches(store: Store) -> None:
    with pytest.raises(UsageError, match="PostgreSQL server"):
        coaches.list_coaches(a_session(store))


def test_a_password_is_stored_as_a_salted_verifier(club: Club) -> None:
    name = f"pia_{club.a.engine.url.database}"
    coaches.add_coach(a_session(club.keeper), name, password="s3cr@t")  # noqa: S106
    (stored,) = run_sql(club.url, f"SELECT rolpassword FROM pg_authid WHERE rolname = '{name}'")
    assert stored[0].startswith("SCRAM-SHA-256$")
    assert "s3cr" not in stored[0]
