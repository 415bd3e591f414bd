"""The comparison across the roster: fair looks only, and shrunken odds."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats
from scipy.integrate import quad

from tests.technique.build import a_verdict, day, steps
from tracker.engine.verdict.verdict import Word
from tracker.technique.fault_timeline import timelines
from tracker.technique.roster_odds import (
    PRIOR_SD,
    Look,
    ReviewedSwimmer,
    Schedule,
    roster_odds,
    shrunken_odds,
)

AS_OF = day("06-30")


def a_swimmer(
    name: str, word: Word, *lines: str, looks: tuple[Look, ...] = (), group: str = "Tri squad"
) -> ReviewedSwimmer:
    return ReviewedSwimmer(
        name, group, a_verdict(word, since="03-01"), timelines(steps(*lines), AS_OF), looks
    )


EARLY: Look = (day("01-10"), "Mika")
LATE: Look = (day("05-20"), "Mika")
SEEN_EARLY = "01-10 open breath-late Mika"
SEEN_LATE = "05-20 open breath-late Mika"


def counts(*roster: ReviewedSwimmer) -> tuple[int, int, int, int] | None:
    found = roster_odds(roster, "breath-late", Schedule(roster), as_of=AS_OF)
    if found is None:
        return None
    return found.with_flat, found.with_all, found.without_flat, found.without_all


def test_faults_seen_before_the_plateau_count_with_their_swimmers() -> None:
    assert counts(
        a_swimmer("a", "plateau", SEEN_EARLY, looks=(EARLY,)),
        a_swimmer("b", "gaining", SEEN_EARLY, looks=(EARLY,)),
        a_swimmer("c", "plateau", looks=(EARLY,)),
        a_swimmer("d", "gaining", looks=(EARLY,)),
        a_swimmer("e", "slipping", looks=(EARLY,)),
    ) == (1, 2, 1, 3)


def test_a_fault_first_seen_when_the_coach_looked_at_a_stalled_swimmer_does_not_count() -> None:
    """Onset interval ends 15 March: what was seen in May in a single look at this swimmer is left out."""
    assert counts(
        a_swimmer("a", "plateau", SEEN_LATE, looks=(LATE,)),
        a_swimmer("b", "gaining", SEEN_LATE, looks=(LATE,)),
        a_swimmer("d", "gaining", looks=(EARLY,)),
    ) == (0, 1, 0, 1)


def test_a_late_look_counts_where_the_reviewer_went_through_the_group() -> None:
    """Five swimmers looked at by one reviewer within a week are a round: nobody was singled out."""
    round_ = [(day(f"05-{n}"), "Mika") for n in (18, 19, 20, 21, 22)]
    roster = [
        a_swimmer("a", "plateau", SEEN_LATE, looks=(round_[2],)),
        *(a_swimmer(f"b{n}", "gaining", looks=(round_[n],)) for n in (0, 1, 3, 4)),
    ]
    assert counts(*roster) == (1, 1, 0, 4)
    assert counts(*roster[:4], a_swimmer("b4", "gaining", looks=((day("05-22"), "Aino"),))) is None


def test_never_looked_at_too_early_and_corrected_swimmers() -> None:
    """Never looked at: not known to be without it. No word: neither flat nor not. Corrected: without."""
    assert counts(
        a_swimmer("a", "plateau", SEEN_EARLY, looks=(EARLY,)),
        a_swimmer("b", "gaining"),
        a_swimmer("c", "too early", SEEN_EARLY, looks=(EARLY,)),
        a_swimmer("c2", "undecided", SEEN_EARLY, looks=(EARLY,)),
        a_swimmer("d", "gaining", SEEN_EARLY, "02-01 corrected breath-late Mika", looks=(EARLY,)),
        ReviewedSwimmer("e", "", None, (), (EARLY,)),
    ) == (1, 1, 0, 1)


def test_nobody_with_or_nobody_without_compares_nothing() -> None:
    assert counts(a_swimmer("a", "plateau", looks=(EARLY,))) is None
    assert counts() is None


def test_shrinking_is_that_of_two_normals() -> None:
    """14 of 22 against 9 of 30: against the posterior found by numerical integration."""
    found = shrunken_odds("breath-late", {True: (14, 22), False: (9, 30)})
    cells = (14.5, 8.5, 9.5, 21.5)
    raw, sd = math.log(cells[0] * cells[3] / cells[1] / cells[2]), math.sqrt(sum(1 / c for c in cells))

    def density(x: float) -> float:
        return float(stats.norm.pdf(x, raw, sd) * stats.norm.pdf(x, 0, PRIOR_SD))

    total = quad(density, -10, 10)[0]
    assert math.log(found.ratio) == pytest.approx(
        quad(lambda x: x * density(x), -10, 10)[0] / total, abs=1e-6
    )
    assert quad(density, -10, math.log(found.low))[0] / total == pytest.approx(0.05, abs=1e-6)
    assert quad(density, -10, math.log(found.low80))[0] / total == pytest.approx(0.10, abs=1e-6)
    assert quad(density, -10, math.log(found.high))[0] / total == pytest.approx(0.95, abs=1e-6)
    assert 1 < found.low < found.ratio < math.exp(raw)


@given(st.integers(0, 30), st.integers(0, 30), st.integers(0, 30), st.integers(0, 30))
def test_odds_turn_round_with_the_table_and_stay_ordered(a: int, b: int, c: int, d: int) -> None:
    found = shrunken_odds("x", {True: (a, a + b), False: (c, c + d)})
    turned = shrunken_odds("x", {True: (c, c + d), False: (a, a + b)})
    assert found.ratio * turned.ratio == pytest.approx(1.0)
    assert found.low < found.low80 < found.ratio < found.high
