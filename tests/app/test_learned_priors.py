"""Priors learned from the roster: stored, learned again when their input changed, explained to the coach."""

import datetime as dt

import pytest

from tests.builders import START, a_season, a_session
from tracker.app import learned_priors as learned_priors_module
from tracker.app.executor import Executor
from tracker.app.explain import why
from tracker.app.learned_priors import PLAIN, _from_json, _to_json, explain_learned_priors, learned_priors
from tracker.app.scan import scan
from tracker.engine.series.from_swims import COLUMNS, rows_from_swims
from tracker.engine.trend import analyse as batch
from tracker.engine.trend.learn import ROUNDS
from tracker.engine.verdict.judge import learn_priors
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.output.sentences.priors import CAVEAT, priors_json, priors_lines
from tracker.settings import DEFAULT
from tracker.store.database import Store

AT = dt.datetime(2026, 6, 1, 12, tzinfo=dt.UTC)
AS_OF = START + dt.timedelta(days=400)
WETSUIT = 1.05
"""A wetsuit makes these swimmers five percent faster."""


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
    learned = learned_priors(a_session(store, today=AS_OF))
    assert learned.priors.learned
    assert learned.reference == PLAIN
    assert _from_json(_to_json(learned)) == learned
    assert learned_priors(a_session(store, today=AS_OF)) == learned


@pytest.mark.parametrize("workers", [1, pytest.param(2, marks=pytest.mark.thorough)])
def test_an_executor_learns_the_same_to_the_last_bit(store, monkeypatch, workers) -> None:
    """Two parts a round, here or in two processes; rosters below `LEARN_FROM` are learned here."""
    monkeypatch.setattr(batch, "BATCH", 17)
    with store.read() as reader:
        rows, _ = rows_from_swims(reader.columns(Swim, COLUMNS), DEFAULT)
    parts = []

    def counted(task, some):
        some = list(some)
        parts.append(len(some))
        return Executor(workers=workers).each(task, some)

    assert learn_priors(rows, DEFAULT, each=counted) == learn_priors(rows, DEFAULT)
    assert parts == [2] * ROUNDS


def test_only_a_big_roster_is_worth_a_start(store, monkeypatch) -> None:
    given = []

    class Watched(Executor):
        def each(self, task, parts):
            given.append(task)
            return map(task, parts)

    later = AS_OF + dt.timedelta(days=31)
    learned_priors(a_session(store, today=later), executor=Watched(workers=2))
    assert not given
    monkeypatch.setattr(learned_priors_module, "LEARN_FROM", 34)
    learned_priors(a_session(store, today=later + dt.timedelta(days=31)), executor=Watched(workers=2))
    assert len(given) == ROUNDS


def test_one_swimmer_alone_is_judged_as_among_the_roster(store) -> None:
    lines = {line.swimmer: line.verdict for line in scan(a_session(store, today=AS_OF))}
    for name in ("Swimmer 00", "Swimmer 33"):
        alone = why(a_session(store, today=AS_OF), name).line.verdict
        assert alone.p_flat == pytest.approx(lines[name].p_flat, abs=1e-9)
        assert alone.since == lines[name].since


def test_a_new_swim_of_this_month_leaves_it_and_an_older_one_has_it_learned_again(tmp_path) -> None:
    store = Store.open(tmp_path / "club.db")
    with store.write(who="t", what="one", at=AT) as writer:
        writer.add([Swimmer(swimmer="Ada")])
        writer.add([Swim(date=START, swimmer="Ada", test="t400", distance_m=400, time_s=400)])
    first = AS_OF.replace(day=1)
    name = f"taught by {first.isoformat()}"
    learned_priors(a_session(store, today=AS_OF))

    def basis() -> str | None:
        with store.read() as reader:
            return reader.derived(name)

    before = basis()
    with store.write(who="t", what="now", at=AT) as writer:
        writer.add([Swim(date=first, swimmer="Ada", test="t400", distance_m=400, time_s=398)])
    learned_priors(a_session(store, today=AS_OF))
    assert basis() == before
    with store.write(who="t", what="then", at=AT) as writer:
        writer.add([Swim(date=START, swimmer="Ada", test="t400", distance_m=400, time_s=399)])
    learned_priors(a_session(store, today=AS_OF))
    assert basis() != before


def _club_in_suits(folder, size: int, rate: float) -> Store:
    store = Store.open(folder / "club.db")
    with store.write(who="t", what="a roster", at=AT) as writer:
        for i in range(size):
            name = f"Swimmer {i:02d}"
            days, paces = a_season([(11.0, rate)], seed=i)
            writer.add([Swimmer(swimmer=name)])
            writer.add(
                [
                    Swim(
                        date=START + dt.timedelta(days=d),
                        swimmer=name,
                        test="t400",
                        distance_m=400,
                        time_s=round(4 * p / (WETSUIT if k % 3 == 0 else 1.0), 2),
                        suit="wetsuit" if k % 3 == 0 else "none",
                    )
                    for k, (d, p) in enumerate(zip(days, paces, strict=True))
                ]
            )
    return store


def test_the_second_opinion_finds_the_rate_and_the_suit_of_a_roster(tmp_path) -> None:
    found = explain_learned_priors(a_session(_club_in_suits(tmp_path, 31, 0.8), today=AS_OF))
    assert found.learned.priors.learned
    assert found.opinion.rate == pytest.approx(0.8, abs=0.05)
    assert found.opinion.names == ("suit wetsuit",)
    assert found.opinion.effect[0] == pytest.approx(100 * 0.04879, abs=0.15)
    lines = priors_lines(found)
    assert "learned from 31 series" in lines[0]
    assert any(line.startswith("suit wetsuit: ") and line.endswith("they agree") for line in lines)
    assert lines[-1] == CAVEAT
    plain = priors_json(found)
    assert plain["second_opinion"]["offsets_pct"]["suit wetsuit"][0] == pytest.approx(4.88, abs=0.15)
    second = plain["second_opinion"]
    assert second["rate_spread_low"] <= second["rate_spread"] <= second["rate_spread_high"]
    assert second["rate_spread_high"] > 0
    assert any("from swimmer to swimmer, 90 % interval 0" in line for line in lines)
    assert sum(plain["record_begins"]) == pytest.approx(1, abs=2e-4)


def test_few_swimmers_are_told_that_all_is_built_in_and_that_there_is_no_second_opinion(tmp_path) -> None:
    found = explain_learned_priors(a_session(_club_in_suits(tmp_path, 3, 0.5), today=AS_OF))
    lines = priors_lines(found)
    assert "built in" in lines[0]
    assert lines[-1] == "No second opinion: 3 series: a mixed model needs 5."
    assert priors_json(found)["second_opinion"] is None


def test_an_empty_club_has_something_to_say(tmp_path) -> None:
    found = explain_learned_priors(a_session(Store.open(tmp_path / "club.db"), today=AS_OF))
    assert priors_lines(found)[-1] == "No second opinion: there is no usable test."
