"""The word is a function of probabilities and record, in a fixed order."""

import pytest

from tests.builders import a_season
from tracker.engine.series.rows import Rows, sorted_rows
from tracker.engine.verdict.decide import WORDS
from tracker.engine.verdict.judge import examine, judge_case, learn_priors
from tracker.engine.verdict.verdict import FewTests, SetAsideTests, ShortRecord
from tracker.settings import DEFAULT


def rows_of(*seasons) -> Rows:
    import numpy as np

    names = np.array([f"S{i}" for i, (days, _) in enumerate(seasons) for _ in days], object)
    days = np.concatenate([np.array(d, np.int64) for d, _ in seasons])
    paces = np.concatenate([np.array(p) for _, p in seasons])
    blank = np.array([""] * days.size, object)
    return sorted_rows(names, days, paces, np.ones(days.size), (blank, blank, blank))


def judged(rows: Rows, **options):
    return judge_case(examine(rows, learn_priors(rows, DEFAULT), DEFAULT), DEFAULT, **options)


def test_detail_carries_every_test_and_a_line_through_them() -> None:
    days, paces = a_season([(10.0, 0.8)], seed=5)
    (verdict,) = judged(rows_of((days, paces)), detail=True)
    assert [point.pace for point in verdict.points] == pytest.approx(paces)
    assert verdict.curve is not None
    assert list(verdict.curve.dates) == sorted(verdict.curve.dates)
    for pace, fastest, slowest in zip(
        verdict.curve.pace, verdict.curve.fastest, verdict.curve.slowest, strict=True
    ):
        assert fastest <= pace <= slowest
    assert verdict.curve.pace[-1] == pytest.approx(paces[0] * 2.718281828 ** (-0.08), rel=0.02)


def test_a_typing_error_is_set_aside_and_named_by_its_date() -> None:
    days, paces = a_season([(12.0, 0.7)], seed=8)
    paces[20] *= 0.8
    (verdict,) = judged(rows_of((days, paces)))
    assert [(one.date.toordinal() - verdict.first.toordinal()) for one in verdict.set_aside] == [days[20]]
    assert verdict.verdict == "gaining"
    assert SetAsideTests in {type(reason) for reason in verdict.reasons}


def test_present_stretch_only_of_a_plateau() -> None:
    flat = a_season([(6.0, 0.9), (9.0, 0.0)], seed=1)
    gaining = a_season([(15.0, 0.9)], seed=1)
    found = judged(rows_of(flat, gaining))
    assert [verdict.verdict for verdict in found] == ["plateau", "gaining"]
    assert found[0].present_stretch is not None
    assert found[0].present_stretch.end == found[0].last
    assert found[1].present_stretch is None
    assert WORDS == ("gaining", "plateau", "slipping")


@pytest.mark.parametrize(
    ("every_days", "tests", "short"),
    [(28, 4, {FewTests}), (7, 7, {FewTests, ShortRecord}), (7, 9, {ShortRecord}), (14, 8, set())],
)
def test_a_record_too_short_for_a_verdict_has_points_but_no_line(every_days, tests, short) -> None:
    days, paces = a_season([(10.0, -0.8)], seed=5, every_days=every_days)
    (verdict,) = judged(rows_of((days[:tests], paces[:tests])), detail=True)
    assert {type(lack) for lack in verdict.lacks} == short
    assert len(verdict.points) == tests
    assert (verdict.curve is None) == bool(short)
