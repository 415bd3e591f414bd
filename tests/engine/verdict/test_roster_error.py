"""What a roster's plateaus are expected to be worth, and what a cut costs."""

import dataclasses

import numpy as np
import pytest

from tests.builders import a_season
from tests.output.cases import verdict_like
from tracker.app.calibrate import false_words_of
from tracker.engine.series.rows import sorted_rows
from tracker.engine.verdict.false_plateaus import (
    DECLARED,
    expected_false,
    expected_false_plateaus,
    roster_cut,
)
from tracker.engine.verdict.judge import learn_priors
from tracker.output.sentences.roster import expected_false_sentence
from tracker.settings import DEFAULT


def test_expected_false_is_the_mean_doubt_of_those_called() -> None:
    flat = [verdict_like(verdict="plateau", p_flat=p) for p in (0.9, 0.8)]
    other = verdict_like(verdict="gaining", p_flat=0.1)
    found = expected_false_plateaus([*flat, other, None])
    assert found.called == 2
    assert found.share == pytest.approx(0.15)
    assert expected_false_plateaus([other, None]).share == 0.0


def test_the_surest_of_a_roster_hold_the_declared_share() -> None:
    chances = (0.88, 0.8, 0.75, 0.72, 0.71)
    found = expected_false_plateaus(verdict_like(verdict="plateau", p_flat=p) for p in chances)
    assert (found.kept, found.cut) == (3, 0.75)
    assert sum(1 - p for p in chances[:3]) / 3 <= DECLARED < sum(1 - p for p in chances[:4]) / 4
    assert "of the 3 surest (75 % or more) at most 20 % are" in expected_false_sentence(found)
    unsure = expected_false_plateaus([verdict_like(verdict="plateau", p_flat=0.71)])
    assert "none is sure enough" in expected_false_sentence(unsure)
    sure = expected_false_plateaus([verdict_like(verdict="plateau", p_flat=0.96)])
    assert "surest" not in expected_false_sentence(sure)


def test_a_roster_cut_keeps_the_share_of_false_ones() -> None:
    p = np.array([0.99, 0.95, 0.9, 0.7, 0.5])
    cut = roster_cut(p, 0.10)
    assert expected_false(p, cut) <= 0.10
    assert expected_false(p, np.nextafter(0.7, 0)) > 0.10


def test_a_roster_cut_calls_those_of_one_probability_together() -> None:
    p = [0.96, 0.85, 0.85]
    assert expected_false(p, 0.85) > 0.10
    assert roster_cut(p, 0.10) == 0.96
    assert roster_cut([0.9, 0.9, 0.9], 0.10) == pytest.approx(0.9)


def test_a_higher_level_never_says_more_false_words() -> None:
    names, days, paces = [], [], []
    for i in range(4):
        d, p = a_season([(9.0, 0.7)], seed=i)
        names += [f"s{i}"] * len(d)
        days += d
        paces += p
    blank = np.array([""] * len(days), object)
    rows = sorted_rows(
        np.array(names, object), np.array(days), np.array(paces), np.ones(len(days)), (blank, blank, blank)
    )
    found = false_words_of(rows, learn_priors(rows, DEFAULT), DEFAULT, swimmers=12)
    assert found.gain == 2 * DEFAULT.band
    assert (np.diff(found.plain, axis=1) <= 0).all()
    wider = dataclasses.replace(DEFAULT, band=0.5)
    quick = false_words_of(rows, learn_priors(rows, wider), wider, swimmers=12)
    assert quick.gain == 1.0
    again = false_words_of(rows, learn_priors(rows, DEFAULT), DEFAULT, swimmers=12)
    assert (again.plain == found.plain).all()


def test_where_nobody_is_sure_enough_the_cut_is_one() -> None:
    assert roster_cut([0.5, 0.4], 0.1) == 1.0
    assert roster_cut([], 0.1) == 1.0
