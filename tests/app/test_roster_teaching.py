"""What the roster taught: kept, learned again when its basis changed, the same for one and for all."""

import datetime as dt

import pytest

from tests.builders import START, a_season
from tracker.app import learned_priors as roster_teaching_
from tracker.app.executor import Executor
from tracker.app.explain import why
from tracker.app.learned_priors import PLAIN, _from_json, _to_json, learned_priors
from tracker.app.scan import scan
from tracker.engine.series.from_swims import COLUMNS, rows_from_swims
from tracker.engine.trend import analyse as batch
from tracker.engine.trend.learn import ROUNDS
from tracker.engine.verdict.judge import learn_priors
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.settings import DEFAULT
from tracker.store.database import Store

AT = dt.datetime(2026, 6, 1, 12, tzinfo=dt.UTC)
AS_OF = START + dt.timedelta(days=400)


@pytest.fixture(scope="module")
def store(tmp_path_factory) -> Store:
    store = Store.open(tmp_path_factory.mktemp("teaching") / "club.db")
    with store.write(who="t", what="a roster", at=AT) as writer:
        for i in range(34):
            name = f"Swimmer {i:02d}"
            days, paces = a_season([(6.0, 0.3 + i / 40), (6.0, 0.1)], seed=i)
            writer.add([Swimmer(swimmer=name)])
            writer.add(
                [
                    Swim(
                        date=START + dt.timedelta(days=d),
                        swimmer=name,
                        test="t400",
                        distance_m=400,
                        time_s=4 * p,
                    )
                    for d, p in zip(days, paces, strict=True)
                ]
            )
    return store


def test_a_roster_of_thirty_teaches_and_what_it_taught_reads_back(store) -> None:
    learned = learned_priors(store, as_of=AS_OF, settings=DEFAULT)
    assert learned.priors.learned
    assert learned.reference == PLAIN
    assert _from_json(_to_json(learned)) == learned
    assert learned_priors(store, as_of=AS_OF, settings=DEFAULT) == learned


def test_a_crew_learns_the_same_to_the_last_bit(store, monkeypatch) -> None:
    """Two parts a round, each in a process of its own; rosters below `LEARN_FROM` are learned here."""
    monkeypatch.setattr(batch, "BATCH", 17)
    with store.read() as reader:
        rows, _ = rows_from_swims(reader.columns(Swim, COLUMNS), DEFAULT)
    parts = []

    def counted(task, some):
        some = list(some)
        parts.append(len(some))
        return Executor(workers=2).each(task, some)

    assert learn_priors(rows, DEFAULT, each=counted) == learn_priors(rows, DEFAULT)
    assert parts == [2] * ROUNDS


def test_only_a_big_roster_is_worth_a_start(store, monkeypatch) -> None:
    given = []

    class Watched(Executor):
        def each(self, task, parts):
            given.append(task)
            return map(task, parts)

    later = AS_OF + dt.timedelta(days=31)
    learned_priors(store, as_of=later, settings=DEFAULT, executor=Watched(workers=2))
    assert not given
    monkeypatch.setattr(roster_teaching_, "LEARN_FROM", 34)
    learned_priors(store, as_of=later + dt.timedelta(days=31), settings=DEFAULT, executor=Watched(workers=2))
    assert len(given) == ROUNDS


def test_one_swimmer_alone_is_judged_as_among_the_roster(store) -> None:
    lines = {line.swimmer: line.verdict for line in scan(store, as_of=AS_OF, settings=DEFAULT)}
    for name in ("Swimmer 00", "Swimmer 33"):
        alone = why(store, name, as_of=AS_OF, settings=DEFAULT).line.verdict
        assert alone.p_flat == pytest.approx(lines[name].p_flat, abs=1e-9)
        assert alone.since == lines[name].since


def test_a_new_swim_of_this_month_leaves_it_and_an_older_one_has_it_learned_again(tmp_path) -> None:
    store = Store.open(tmp_path / "club.db")
    with store.write(who="t", what="one", at=AT) as writer:
        writer.add([Swimmer(swimmer="Ada")])
        writer.add([Swim(date=START, swimmer="Ada", test="t400", distance_m=400, time_s=400)])
    first = AS_OF.replace(day=1)
    name = f"taught by {first.isoformat()}"
    learned_priors(store, as_of=AS_OF, settings=DEFAULT)

    def basis() -> str | None:
        with store.read() as reader:
            return reader.fact(name)

    before = basis()
    with store.write(who="t", what="now", at=AT) as writer:
        writer.add([Swim(date=first, swimmer="Ada", test="t400", distance_m=400, time_s=398)])
    learned_priors(store, as_of=AS_OF, settings=DEFAULT)
    assert basis() == before
    with store.write(who="t", what="then", at=AT) as writer:
        writer.add([Swim(date=START, swimmer="Ada", test="t400", distance_m=400, time_s=399)])
    learned_priors(store, as_of=AS_OF, settings=DEFAULT)
    assert basis() != before
