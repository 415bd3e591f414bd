"""What verdicts rest on, and the mixed model beside it."""

import datetime as dt

import pytest

from tests.builders import START, a_season
from tracker.app.learned_priors import explain_learned_priors
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.output.sentences.roster import CAVEAT, priors_json, priors_lines
from tracker.settings import DEFAULT
from tracker.store.database import Store

AT = dt.datetime(2026, 6, 1, 12, tzinfo=dt.UTC)
AS_OF = START + dt.timedelta(days=400)
WETSUIT = 1.05
"""A wetsuit makes these swimmers five percent faster."""


def _club(folder, size: int, rate: float) -> Store:
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
    found = explain_learned_priors(_club(tmp_path, 31, 0.8), as_of=AS_OF, settings=DEFAULT)
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
    assert sum(plain["record_begins"]) == pytest.approx(1, abs=2e-4)


def test_few_swimmers_are_told_that_all_is_built_in_and_that_there_is_no_second_opinion(tmp_path) -> None:
    found = explain_learned_priors(_club(tmp_path, 3, 0.5), as_of=AS_OF, settings=DEFAULT)
    lines = priors_lines(found)
    assert "built in" in lines[0]
    assert lines[-1] == "No second opinion: 3 series: a mixed model needs 5."
    assert priors_json(found)["second_opinion"] is None


def test_an_empty_club_has_something_to_say(tmp_path) -> None:
    found = explain_learned_priors(Store.open(tmp_path / "club.db"), as_of=AS_OF, settings=DEFAULT)
    assert priors_lines(found)[-1] == "No second opinion: there is no usable test."
