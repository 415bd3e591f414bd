"""What the roster says of faults: kept for the month, the same for every view, and nobody named in it."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.builders import TODAY, a_session
from tests.technique.test_evidence import AT_90, DRAWN, HELPED_90
from tracker.app import roster_evidence as weighing
from tracker.app.demo import build_demo
from tracker.app.executor import Executor
from tracker.app.explain import why
from tracker.app.learned_priors import learned_priors
from tracker.app.next_step import propose_next
from tracker.app.read_evidence import evidence_of
from tracker.app.roster_evidence import learn_roster_evidence
from tracker.app.scan import scan
from tracker.model.fault import FaultStep
from tracker.settings import DEFAULT
from tracker.store.database import Store
from tracker.technique.evidence import FaultStatistics
from tracker.technique.roster_evidence import RosterEvidence

AT = dt.datetime(2026, 6, 30, 20, tzinfo=dt.UTC)


@pytest.fixture
def club(tmp_path: Path) -> Iterator[Store]:
    store = build_demo(tmp_path / "club", settings=DEFAULT).store
    yield store
    store.close()


def test_scan_why_and_next_give_one_link_the_same_grade(club: Store) -> None:
    lines = {line.swimmer: line for line in scan(a_session(club))}
    for name in ("Ines Aalto", "Yusuf Caldecott", "Anneke Dvorský"):
        seen = why(a_session(club), name).line
        proposed = propose_next(a_session(club), name).line
        assert lines[name].link is not None
        assert seen.link == proposed.link
        assert seen.link is not None
        assert (seen.link.fault, seen.link.evidence) == (lines[name].link.fault, lines[name].link.evidence)


def test_it_is_kept_for_the_month_and_read_back_alike(club: Store) -> None:
    first = learn_roster_evidence(a_session(club, today=dt.date(2026, 6, 10)))
    again = learn_roster_evidence(a_session(club))
    assert first == again
    assert {"breath-late", "kick-knees", "entry-crossing"} <= set(first)
    with club.read() as reader:
        kept = reader.derived("weighed by 2026-06-01")
    assert kept is not None
    assert set(json.loads(kept)["faults"]) == set(first)


def test_an_effect_with_its_spread_is_read_back_as_it_was_kept() -> None:
    kept = json.loads(json.dumps(dataclasses.asdict(FaultStatistics(AT_90, HELPED_90, DRAWN))))
    assert weighing._from_json(kept) == FaultStatistics(AT_90, HELPED_90, DRAWN)


@pytest.mark.parametrize("version", ["PRIORS_VERSION", "EVIDENCE_VERSION"])
def test_what_an_older_way_weighed_is_not_used(club: Store, monkeypatch, version: str) -> None:
    def basis() -> str:
        learn_roster_evidence(a_session(club))
        with club.read() as reader:
            return str(json.loads(reader.derived("weighed by 2026-06-01") or "{}")["basis"])

    older = basis()
    assert basis() == older
    monkeypatch.setattr(weighing, version, -1)
    assert basis() != older


@pytest.mark.parametrize("workers", [1, pytest.param(2, marks=pytest.mark.thorough)])
def test_it_is_the_same_whoever_judges_the_parts(
    club: Store, monkeypatch: pytest.MonkeyPatch, workers: int
) -> None:
    given = []

    class Watched(Executor):
        def each(self, task, parts):
            given.append(task)
            return Executor(workers=workers).each(task, parts)

    monkeypatch.setattr(weighing, "PART", 5)
    monkeypatch.setattr(weighing, "LEARN_FROM", 12)
    alone = learn_roster_evidence(a_session(club))
    with club.read() as reader:
        name = "weighed by 2026-06-01"
        kept = reader.derived(name)
    club.save_derived(name, json.dumps({"basis": "another"}))
    assert learn_roster_evidence(a_session(club), executor=Watched(workers=2)) == alone
    assert given
    with club.read() as reader:
        assert reader.derived(name) == kept


def test_it_weighs_the_people_that_the_effects_are_about(
    club: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In one order too: of two controls that match alike the first is taken."""
    weighed = []

    class Watched(RosterEvidence):
        def __init__(self, people, *, as_of):
            super().__init__(people, as_of=as_of)
            weighed.append([person.swimmer for person in self.people])

    monkeypatch.setattr(weighing, "RosterEvidence", Watched)
    monkeypatch.setattr(weighing, "PART", 5)
    learn_roster_evidence(a_session(club))
    learned = learned_priors(a_session(club))
    with club.read() as reader:
        until = TODAY.replace(day=1) - dt.timedelta(days=1)
        told = evidence_of(reader, learned, as_of=until, settings=DEFAULT, among=reader.labels()).evidence
    assert weighed == [[person.swimmer for person in told.people]]


def test_nobody_is_named_in_what_is_kept(club: Store) -> None:
    """Erasing a swimmer must leave no trace: counts and intervals only."""
    learn_roster_evidence(a_session(club))
    with club.read() as reader:
        kept = str(reader.derived("weighed by 2026-06-01"))
        names = reader.labels()
    assert not any(name in kept or json.dumps(name)[1:-1] in kept for name in names)


def test_an_older_step_changes_it_and_one_of_this_month_does_not(club: Store) -> None:
    before = learn_roster_evidence(a_session(club))

    def add(day: dt.date) -> None:
        step = FaultStep(date=day, swimmer="Ines Aalto", fault="hips-loose", step="open", reviewer="Maud")
        with club.write(who="test", what="open", at=AT) as writer:
            writer.add([step])

    add(dt.date(2026, 6, 2))
    assert learn_roster_evidence(a_session(club)) == before
    add(dt.date(2026, 5, 2))
    assert "hips-loose" in learn_roster_evidence(a_session(club))


def test_without_faults_nothing_is_weighed(tmp_path: Path) -> None:
    store = Store.open(tmp_path / "empty.db")
    assert learn_roster_evidence(a_session(store)) == {}
    store.close()
