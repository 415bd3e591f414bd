"""A switch of pool at the onset."""

from dataclasses import replace

import numpy as np
import pytest

from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.covariates import HIDDEN
from tracker.engine.trend.observations import Observations, observations_from_lists
from tracker.engine.trend.posterior import Answer
from tracker.engine.trend.priors import BUILT_IN

WEEK = 7 / 30.4375


def _switch(offset: float, rate_after: float, at: int = 30) -> Observations:
    t = np.arange(52) * WEEK
    rate = np.where(np.arange(52) < 30, 0.8, rate_after)
    y = np.concatenate([[0], np.cumsum(rate[1:] * WEEK)]) + np.random.default_rng(4).normal(0, 1.0, 52)
    kind = (np.arange(52) >= at).astype(int)
    return observations_from_lists(
        [t], [y + offset * kind], kind=[kind], design=[[0], [1]], features=("LCM",)
    )


def _known(sd: float) -> Answer:
    return analyse(_switch(-2.0, 0.8), replace(BUILT_IN, offsets={"LCM": (-2.0, sd)}))


def test_switch_of_known_offset_hides_nothing() -> None:
    answer = _known(0.2)
    assert answer.alias[0, 0] < HIDDEN
    assert answer.p_gaining[0] > 0.85


def test_switch_with_an_unknown_offset_leaves_more_doubt() -> None:
    assert _known(3.0).p[0].max() < _known(0.2).p[0].max()


def test_switch_far_from_the_onset_hides_nothing() -> None:
    answer = analyse(_switch(-2.0, 0.0, at=8), BUILT_IN)
    assert answer.alias[0, 0] < HIDDEN


def test_offsets_are_found_where_both_kinds_go_on_side_by_side() -> None:
    rng = np.random.default_rng(9)
    t = np.repeat(np.arange(60) * WEEK, 2)
    kind = np.tile([0, 1], 60)
    y = 0.6 * t + 5.0 * kind + rng.normal(0, 1.0, 120)
    answer = analyse(
        observations_from_lists([t], [y], kind=[kind], design=[[0], [1]], features=("t200",)), BUILT_IN
    )
    assert answer.offset[0, 0] == pytest.approx(5.0, abs=0.5)
    assert answer.offset_sd[0, 0] < 0.3
    assert answer.alias[0, 0] == 0.0


def test_offsets_do_not_depend_on_which_kind_is_the_commonest() -> None:
    tests = _switch(-2.0, 0.8, at=20)
    turned = replace(tests, kind=1 - tests.kind, design=1 - tests.design)
    there, back = analyse(tests, BUILT_IN), analyse(turned, BUILT_IN)
    assert back.p == pytest.approx(there.p, abs=1e-9)
    assert back.offset == pytest.approx(there.offset, abs=1e-9)
