"""Figures of words and probabilities, against counting by hand."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.validation.door import Looks, looks, observed_of
from tests.validation.held_word import Walk, by_looks, unheld
from tests.validation.plan import Plan, many
from tests.validation.random_dates import by_chance, calibration_error, log_loss, right_of, said_at
from tests.validation.reliability import BUILT_IN_TEACHING
from tests.validation.switches import SWITCHES, judged_alone, switched, wrong_words
from tests.validation.table import Table
from tests.validation.targets import TARGETS, figures, number, reached
from tracker.engine.series.conditions import CONDITIONS, Condition
from tracker.engine.verdict.verdict import Word

WEEK = 7 / 30.4375


def _seen(p: list[list[float]], slowed: list[float], owner: list[int] | None = None) -> Looks:
    size = len(p)
    return Looks(
        np.array(owner or [0] * size), np.arange(size) * WEEK, np.arange(size) + 8, np.array(p),
        np.array(slowed), np.zeros((size, 3)), np.full(size, -1), np.tile([0.8, 0.75, 0.65, 0.8], (size, 1)),
        np.full((size, 4), 0.5),
    )  # fmt: skip


def test_a_word_is_said_at_one_level_and_kept_to_a_lower_one() -> None:
    p = [[0.7, 0.3, 0], [0.85, 0.15, 0], [0.55, 0.45, 0], [0.45, 0.55, 0], [0.2, 0.8, 0], [0.45, 0.55, 0]]
    seen = _seen(p, [0, 0, 0, 0.9, 0.9, 0.9])
    assert by_looks(seen).tolist() == [-1, 0, 0, 3, 1, 1]
    assert unheld(seen).tolist() == [-1, 0, -1, -1, 1, -1]
    assert unheld(seen, 0.5).tolist() == [0, 0, 0, 1, 1, 1]


def test_nobody_inherits_a_word() -> None:
    seen = _seen([[0.9, 0.1, 0], [0.6, 0.4, 0]], [0, 0], owner=[0, 1])
    assert by_looks(seen).tolist() == [0, -1]


def test_what_the_tool_says_at_the_first_looks_is_what_was_said_look_by_look() -> None:
    """Few tests: every day is a knot, so going through the past again finds the same looks."""
    swimmers = many(np.random.default_rng(2), 6, Plan(before=0.9, after=0.9, months=3.4))
    seen = looks(*observed_of(swimmers, BUILT_IN_TEACHING))
    assert seen.word.size > 12
    assert (seen.word == by_looks(seen)).mean() > 0.8


def test_changes_detours_and_wrong_weeks_are_those_of_counting() -> None:
    word = np.array([-1, 0, 0, 1, 0, 0, -1, -1, -1, -1, -1, 0, 1, 1])
    truth = np.array([0] * 10 + [1] * 4)
    walk = Walk(np.arange(14) * WEEK, word, truth)
    assert walk.changes == 6
    assert walk.detours == 1  # 0 -> 1 -> 0 in a week; none for five weeks is no detour
    assert int(walk.spoken.sum()) == 8
    assert int(walk.wrong.sum()) == 2
    assert walk.years == pytest.approx(13 * WEEK / 12)


def test_a_delay_counts_to_the_first_right_word_and_only_after_lasting_changes() -> None:
    truth = np.array([0] * 5 + [1] * 30 + [0] * 3)
    word = np.where(np.arange(38) >= 13, 1, 0)
    walk = Walk(np.arange(38) * WEEK, word, truth)
    assert walk.delays(0, 1) == pytest.approx([8 * WEEK])
    assert walk.delays(1, 0) == []
    silent = Walk(walk.month, np.zeros(38, int), truth)
    assert silent.delays(0, 1) == [float("inf")]


def test_log_loss_and_right_words_are_those_of_counting() -> None:
    p = np.array([[0.5, 0.5, 0.0], [0.1, 0.8, 0.1]])
    np.testing.assert_allclose(log_loss(p, np.array([0, 1])), -np.log([0.5, 0.8]))
    assert said_at(p, 0.8).tolist() == [-1, 1]
    assert (right_of(np.array([-1, 1, 0]), np.array([0, 1, 1]))).value == 0.5


def test_calibration_error_is_nothing_for_the_truth_and_plain_for_a_braggart() -> None:
    rng = np.random.default_rng(3)
    p = rng.dirichlet([1, 1, 1], 4000)
    truth = (rng.random((4000, 1)) > p.cumsum(axis=1)).sum(axis=1)
    chance = by_chance(p, rng, 20)
    assert calibration_error(p, truth) == pytest.approx(chance, abs=0.006)
    sure = np.eye(3)[p.argmax(axis=1)]
    wrong = (p.argmax(axis=1) != truth).mean()
    assert calibration_error(sure, truth) == pytest.approx(2 * wrong / 3, abs=0.02)


def test_a_switch_moves_the_tests_after_it_and_is_written_down() -> None:
    quiet = many(np.random.default_rng(4), 3, Plan(before=0.0, after=0.0, months=9.0, noise=(0.0, 0.0)))
    swimmers, rows = switched(np.random.default_rng(5), quiet, SWITCHES["evenings to mornings"])
    hour = rows.conditions[:, CONDITIONS.index(Condition.HOUR)]
    assert set(hour.tolist()) == {18.0, 7.0}
    moved = np.concatenate([s.y for s in swimmers])
    np.testing.assert_allclose(moved, np.where(hour == 7.0, -2.5, 0.0), atol=1e-9)
    _, silent = switched(np.random.default_rng(5), quiet, SWITCHES["the same, nowhere written down"])
    assert np.isnan(silent.conditions[:, CONDITIONS.index(Condition.HOUR)]).all()


def test_writing_the_hour_down_saves_wrong_words() -> None:
    def wrong(name: str) -> float:
        rng = np.random.default_rng(6)
        plan = Plan(before=0.0, after=0.0, months=8.2)
        verdicts = judged_alone(*switched(rng, many(rng, 8, plan), SWITCHES[name]))
        return float(np.mean([v.verdict in wrong_words(0.0, 0.0) for v in verdicts]))

    assert wrong("evenings to mornings") < wrong("the same, nowhere written down")


def test_of_one_who_stopped_slowed_is_right() -> None:
    assert set(wrong_words(0.7, 0.0)) == {Word.GAINING, Word.SLIPPING}
    assert Word.GAINING not in wrong_words(0.7, 0.7)


def test_a_figure_is_reached_between_its_bounds() -> None:
    assert number("0.552 ± 0.030") == (0.552, 0.03)
    assert number("> 12") is None
    assert reached("0.552 ± 0.030", 0, 0.6) == "yes"
    assert reached("0.552 ± 0.030", 0, 0.53) == "no, by less than the error"
    assert reached("0.552 ± 0.030", 0, 0.5) == "no"
    assert reached("–", 0, 0.5) == "–"


def test_figures_to_reach_are_read_from_the_tables(tmp_path: Path) -> None:
    target = TARGETS[0]
    others = sorted({t.at.column for t in TARGETS if t.at.table == "random_dates"} - {target.at.column})
    columns = ("population", "priors", target.at.column, *others)
    row = (*target.at.row, "0.99 ± 0.01", *["–"] * len(others))
    Table("random_dates", "t", "c", columns, (row,)).write(tmp_path)
    rows = figures(tmp_path).rows
    assert rows[0] == (target.what, target.before, target.reach, "0.99 ± 0.01", "no")
    assert rows[-1][3:] == ("–; –", "–")
