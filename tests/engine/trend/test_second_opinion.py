"""The second opinion agrees where the case is clear."""

import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from tests.simulate.seasons import JOINT, batch, seasons
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.observations import Observations, observations_from_lists
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.trend.roster_opinion import roster_opinion
from tracker.engine.trend.second_opinion import hinges, second_opinion, weekly
from tracker.output.sentences.second_look import opinion_line

WEEK = 7 / 30.4375


def _plateau(tests: int = 110, seed: int = 5) -> Observations:
    t = np.arange(tests) * WEEK
    y = 1.0 * np.minimum(t, t[tests // 2]) + np.random.default_rng(seed).normal(0, 0.8, tests)
    return observations_from_lists([t], [y])


def test_a_clear_plateau_is_confirmed_from_every_side() -> None:
    tests = _plateau()
    answer = analyse(tests, replace(BUILT_IN, hazard=(0.05, 0.05, 0.05)))
    found = {o.method: o for o in second_opinion(tests, answer)}
    assert set(found) == {"wls", "robust", "state-space", "equivalence", "cusum"}
    assert answer.p_flat[0] > 0.7
    assert [found[k].agrees for k in ("wls", "robust", "equivalence", "cusum")] == [True] * 4


def test_their_intervals_and_ours_have_a_rate_in_common() -> None:
    """Not always: theirs takes the best line's last knot as known, ours is drawn to no change."""
    shared = []
    for seed in range(12):
        tests = _plateau(seed=seed)
        answer = analyse(tests, replace(BUILT_IN, hazard=(0.05, 0.05, 0.05)))
        found = {o.method: o for o in second_opinion(tests, answer)}
        for key in ("wls", "robust"):
            low, high = found[key].low, found[key].high
            assert low is not None
            assert high is not None
            shared.append(max(answer.rate[0, 0], low) < min(answer.rate[0, 2], high))
    assert sum(shared) >= 20


def test_two_tests_get_no_opinion() -> None:
    tests = observations_from_lists([[0.0, 1.0]], [[0.0, 1.0]])
    assert second_opinion(tests, analyse(tests, BUILT_IN)) == ()


@pytest.mark.parametrize("y", [np.zeros(20), np.arange(20) * 0.5])
def test_noiseless_series_get_opinions_without_warnings(y: np.ndarray) -> None:
    tests = observations_from_lists([np.arange(20) * WEEK], [y])
    for opinion in second_opinion(tests, analyse(tests, BUILT_IN)):
        assert opinion.value is None or np.isfinite(opinion.value)


def _unsettled() -> Observations:
    """A season on which the maximum of the smooth trend's likelihood is not found in its 100 rounds."""
    t = np.arange(60) * WEEK
    return observations_from_lists([t], [0.9 * t + np.random.default_rng(53).normal(0, 1.1, 60)])


def test_a_method_that_did_not_converge_has_no_opinion_and_says_so() -> None:
    tests = _unsettled()
    found = {o.method: o for o in second_opinion(tests, analyse(tests, BUILT_IN))}
    assert (found["state-space"].value, found["state-space"].agrees) == (None, None)
    assert opinion_line(found["state-space"]) == (
        "A smooth trend on a weekly grid: no second opinion, for it did not converge."
    )
    assert found["wls"].value is not None


def test_no_warning_reaches_the_terminal_even_of_the_first_opinion_of_a_process() -> None:
    """statsmodels sets filters when it is first imported: those once let a warning and a path out."""
    ran = subprocess.run(
        [
            sys.executable,
            "-c",
            f"from tests.engine.trend.test_second_opinion import _unsettled as made\n{_ASK}",
        ],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[3],
    )
    assert (ran.stdout.strip(), ran.stderr) == ("None", "")


_ASK = """
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.trend.second_opinion import second_opinion
tests = made()
print(*[o.value for o in second_opinion(tests, analyse(tests, BUILT_IN)) if o.method == "state-space"])
"""


def test_hinges_are_the_segments_rates() -> None:
    t = np.linspace(0, 10, 21)
    y = 3 + np.where(t < 4, 0.5 * t, 2.0 - 0.2 * (t - 4))
    level, before, after = np.linalg.lstsq(hinges(t, np.array([4.0])), y, rcond=None)[0]
    assert (level, before, after) == pytest.approx((3.0, 0.5, -0.2))


def test_weeks_without_tests_are_gaps() -> None:
    found = weekly(np.array([0.0, 0.01, 3 * WEEK]), np.array([1.0, 3.0, 5.0]), np.ones(3))
    assert found == pytest.approx([2.0, np.nan, np.nan, 5.0], nan_ok=True)


def test_mixed_model_finds_the_offsets_of_a_roster() -> None:
    tests = batch(seasons(np.random.default_rng(8), 40, JOINT), JOINT)
    found = roster_opinion(tests, analyse(tests, BUILT_IN))
    offsets = dict(zip(found.names, found.effect, strict=True))
    # the generator's means are 5, -2 and 5 percent
    assert offsets["t200"] == pytest.approx(5.0, abs=0.6)
    assert offsets["LCM"] == pytest.approx(-2.0, abs=0.6)
    assert found.rate > 0
    assert 0 <= found.spread_low <= found.spread <= found.spread_high
    # 40 series: a standard deviation is known to about 1 / sqrt(80), twice 18 % for 90 %
    assert 0.2 * found.spread < found.spread_high - found.spread_low < 0.8 * found.spread
