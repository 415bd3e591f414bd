"""The outlook on a target: monotone, fair at the point estimate, silent about the past."""

from __future__ import annotations

import datetime as dt
import math

from hypothesis import given
from hypothesis import strategies as st

from tests.output.cases import verdict_like
from tracker.verdict.target import DAYS_PER_MONTH, outlook

GAINING = verdict_like(verdict="gaining", rate=0.6, rate_low=0.4, rate_high=0.8)
IN_SIX_MONTHS = GAINING.last + dt.timedelta(days=round(6 * DAYS_PER_MONTH))


def test_a_target_on_the_line_is_an_even_chance() -> None:
    months = (IN_SIX_MONTHS - GAINING.last).days / DAYS_PER_MONTH
    on_line = GAINING.present_pace * math.exp(-0.006 * months)
    found = outlook(GAINING, on_line, IN_SIX_MONTHS)
    assert found is not None
    assert math.isclose(found.chance, 0.5, abs_tol=1e-9)
    assert math.isclose(found.needed, 0.6, abs_tol=1e-9)


@given(st.floats(60, 140), st.floats(0.1, 10))
def test_a_faster_target_is_less_likely_and_needs_more(pace: float, less: float) -> None:
    easy, hard = (outlook(GAINING, p, IN_SIX_MONTHS) for p in (pace, pace - less))
    assert easy is not None
    assert hard is not None
    assert hard.chance <= easy.chance
    assert hard.needed > easy.needed


def test_a_date_that_is_past_has_no_outlook() -> None:
    assert outlook(GAINING, 95.0, GAINING.last) is None


def test_the_chance_is_the_share_of_simulated_futures() -> None:
    """Against a plain simulation with the same two normals (seeded, 200,000 draws: error under 0.004)."""
    import numpy as np

    rng = np.random.default_rng(1)
    months = (IN_SIX_MONTHS - GAINING.last).days / DAYS_PER_MONTH
    z = 1.6448536269514722
    rate = rng.normal(0.6, 0.4 / (2 * z), 200_000)
    level = rng.normal(0.0, GAINING.noise_pct / 2, 200_000)
    target = 98.0
    reached = np.mean(level + months * rate >= 100 * math.log(GAINING.present_pace / target))
    found = outlook(GAINING, target, IN_SIX_MONTHS)
    assert found is not None
    assert abs(found.chance - reached) < 0.005
