"""Effects side by side: the luckiest looks best, so all are drawn towards none."""

from __future__ import annotations

import numpy as np
import pytest

from tracker.technique.effect import Effect, Estimate, shrunk


def an_effect(value: float, error: float) -> Effect:
    wide, narrow = 1.645 * error, 1.282 * error
    gain = Estimate(value, value - wide, value + wide, value - narrow, value + narrow)
    return Effect("correction", f"fault {value}", "", 9, 8, 20, gain=gain)


def test_effects_that_are_all_noise_are_drawn_to_none() -> None:
    """Twelve true effects of zero with an error of 0.3: what is left is far smaller than what was seen."""
    seen = np.random.default_rng(4).normal(0, 0.3, 12)
    found = shrunk([an_effect(float(value), 0.3) for value in seen])
    assert max(abs(one.value) for one in found) < 0.5 * np.abs(seen).max()


def test_effects_that_differ_widely_are_hardly_drawn() -> None:
    found = shrunk([an_effect(value, 0.05) for value in (-1.0, 0.5, 1.5)])
    assert [one.value for one in found] == pytest.approx([-1.0, 0.5, 1.5], abs=0.02)


def test_an_uncertain_effect_is_drawn_more_than_a_certain_one() -> None:
    sure, unsure = shrunk([an_effect(1.0, 0.1), an_effect(1.0, 0.6)])
    assert unsure.value < sure.value < 1.0
    assert sure.tried == 2


def test_the_share_is_that_of_two_normals_where_many_tell_how_far_effects_differ() -> None:
    """400 gains of 1 and -1, errors 0.5: tau^2 = 1 - 0.25 = 0.75: the share is 0.75, half widths shrink."""
    first, *_ = shrunk([an_effect((-1.0) ** n, 0.5) for n in range(400)])
    assert first.value == pytest.approx(0.75, abs=5e-3)
    assert first.high - first.value == pytest.approx(1.645 * 0.75**0.5 * 0.5, abs=5e-3)


def test_few_effects_leave_open_how_far_they_differ() -> None:
    """The same two gains alone: wider than where tau is known, never wider than by far what each was."""
    first, second = shrunk([an_effect(1.0, 0.5), an_effect(-1.0, 0.5)])
    assert first.high - first.value > 1.645 * 0.75**0.5 * 0.5
    assert first.value == pytest.approx(-second.value)
    assert first.high == pytest.approx(-second.low)
    assert 0.5 < first.value < 1.0


def test_effects_less_far_apart_than_their_errors_keep_an_interval() -> None:
    """The best estimate of tau is zero; the effects are still not known to be zero."""
    for one in shrunk([an_effect(value, 0.3) for value in (0.05, -0.1, 0.1, 0.0)]):
        assert one.low < one.value < one.high
        assert one.high - one.low > 0.1
        assert one.low < 0 < one.high


def test_units_carry_through() -> None:
    values = (0.5, -0.1, 0.3)
    once, twice = (shrunk([an_effect(k * v, k * 0.3) for v in values]) for k in (1.0, 2.0))
    assert [one.low for one in twice] == pytest.approx([2 * one.low for one in once])
    assert [one.high for one in twice] == pytest.approx([2 * one.high for one in once])


def test_one_effect_alone_or_none_teaches_nothing_about_the_others() -> None:
    (alone,) = shrunk([an_effect(1.0, 0.5), Effect("cue", "", "", 1, 0, 0, missing="too few cases")])
    assert (alone.value, alone.tried) == (1.0, 1)
    assert shrunk([]) == ()
