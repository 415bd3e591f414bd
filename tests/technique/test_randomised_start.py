"""The draw is fair, its power is stated rightly, and the later analysis keeps to the draw."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from tests.technique.natural import FIRST, a_natural_season
from tracker.model.swimmer import Choice
from tracker.technique.matched_comparison import Levels
from tracker.technique.randomised_start import Draw, draw, randomised_start_effect, smallest_effect

ON = dt.date(2026, 1, 5)
PROPOSED = [(f"swimmer {n}", "breath-late", "") for n in range(11)]


def test_halves_differ_by_at_most_one_and_everybody_is_drawn_once() -> None:
    drawn = draw(PROPOSED, np.random.default_rng(3), on=ON)
    now = [one for one in drawn if one.arm == "now"]
    assert [one.swimmer for one in drawn] == [name for name, _, _ in PROPOSED]
    assert len(now) in {5, 6}
    assert {one.starts for one in now} == {ON}
    assert {one.starts for one in drawn if one.arm == "later"} == {dt.date(2026, 3, 30)}


def test_the_same_seed_draws_the_same_lot_and_every_swimmer_is_drawn_now_about_half_the_time() -> None:
    """400 draws: each swimmer's share of "now" lies within 4 standard errors (0.1) of a half."""
    assert draw(PROPOSED, np.random.default_rng(3), on=ON) == draw(PROPOSED, np.random.default_rng(3), on=ON)
    rng = np.random.default_rng(5)
    share = np.mean([[one.arm == "now" for one in draw(PROPOSED, rng, on=ON)] for _ in range(400)], axis=0)
    assert np.all(np.abs(share - 0.5) < 0.1)


def test_one_swimmer_alone_gets_the_toss_of_a_coin() -> None:
    arms = {draw(PROPOSED[:1], np.random.default_rng(n), on=ON)[0].arm for n in range(20)}
    assert arms == {"now", "later"}
    assert draw([], np.random.default_rng(1), on=ON) == ()


@pytest.mark.parametrize(
    ("weeks_apart", "lag", "smallest"), [(6, 0, 0.84), (6, 2, 1.32), (6, 4, 2.91), (12, 0, 0.41)]
)
def test_smallest_effect_of_ten_against_ten_with_weekly_tests(
    weeks_apart: float, lag: float, smallest: float
) -> None:
    """Noise 1.2 %: 0.84 %/month six weeks apart, 1.3 to 3.0 with a lag of 2 to 4 weeks, about 0.4 twelve
    weeks apart: derived from the least-squares standard error of a hinge, worked out separately."""
    found = smallest_effect(10, 10, tests_a_week=1.0, noise_pct=1.2, weeks_apart=weeks_apart, lag_weeks=lag)
    assert found == pytest.approx(smallest, abs=0.01)


def test_four_times_as_many_swimmers_see_half_the_effect() -> None:
    few = smallest_effect(5, 5, tests_a_week=1.0, noise_pct=1.2)
    many = smallest_effect(20, 20, tests_a_week=1.0, noise_pct=1.2)
    assert few is not None
    assert many == pytest.approx(few / 2)


def test_nothing_can_be_seen_with_one_arm_empty_or_no_test_after_the_lag() -> None:
    assert smallest_effect(1, 0, tests_a_week=1.0, noise_pct=1.2) is None
    assert smallest_effect(9, 9, tests_a_week=0.0, noise_pct=1.2) is None
    assert smallest_effect(9, 9, tests_a_week=0.02, noise_pct=1.2) is None


def a_round(count: int, helped: float, seed: int) -> tuple[list[Choice], dict[str, Levels]]:
    """Return draws at month 10 of which the arm "now" is truly helped from that day."""
    rng = np.random.default_rng(seed)
    on = FIRST + dt.timedelta(days=304)
    drawn: tuple[Draw, ...] = draw([(f"swimmer {n}", "breath-late", "") for n in range(count)], rng, on=on)
    tested = {
        one.swimmer: a_natural_season(
            one.swimmer, rng, weeks=62, help_at=10.7 if one.arm == "now" else None, helped=helped
        )
        for one in drawn
    }
    choices = [
        Choice(date=on, swimmer=one.swimmer, kind="stagger", fault=one.fault, value=one.arm) for one in drawn
    ]
    return choices, tested


def test_a_large_true_effect_is_found_by_the_draw() -> None:
    """2 %/month over 30 against 30 is far above the smallest effect that such a draw sees."""
    choices, tested = a_round(60, 2.0, seed=11)
    found = randomised_start_effect(choices, tested, until=dt.date(2026, 12, 1), fault="breath-late")
    assert (found.tried, found.changed + found.compared) == (60, 60)
    assert found.gain is not None
    assert found.gain.low < 2.0 < found.gain.high
    assert found.gain.low > 0


def test_a_draw_counts_only_when_its_twelve_weeks_are_over() -> None:
    choices, tested = a_round(20, 0.0, seed=12)
    over = choices[0].date + dt.timedelta(weeks=12)
    early = randomised_start_effect(choices, tested, until=over - dt.timedelta(days=1))
    assert (early.gain, early.missing, early.changed) == (None, "too few cases", 0)
    assert randomised_start_effect(choices, tested, until=over).gain is not None


def test_other_faults_and_other_choices_stay_out() -> None:
    choices, tested = a_round(20, 0.0, seed=13)
    chosen = Choice(date=ON, swimmer="swimmer 1", kind="choose", fault="breath-late", value="now")
    found = randomised_start_effect([*choices, chosen], tested, until=dt.date(2026, 12, 1), fault="kick-hard")
    assert (found.tried, found.missing) == (0, "too few cases")
