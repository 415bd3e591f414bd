"""The held word: said from one level on, kept down to another, a function of the data and the date."""

from dataclasses import replace

import numpy as np
import pytest

from tests.simulate.seasons import QUICK, batch, seasons
from tracker.engine.trend.analyse import analyse
from tracker.engine.trend.observations import Floats
from tracker.engine.trend.posterior import Answer, Looks
from tracker.engine.trend.priors import BUILT_IN
from tracker.engine.verdict.held import NONE, held_words
from tracker.engine.verdict.levels import HELD, WITH_BUILT_IN, WITH_LEARNED, Levels, levels_of
from tracker.settings import DEFAULT

LEVELS = Levels(np.array([[0.75, 0.75, 0.70, 0.80]]), np.full((1, 4), 0.5))


@pytest.fixture(scope="module")
def answer() -> Answer:
    return analyse(batch(seasons(np.random.default_rng(1), 1, QUICK), QUICK), BUILT_IN)


def looking(answer: Answer, p: list[list[float]], slower: list[float] | None = None) -> Answer:
    """Return the answer with its looks, the last of which is today, as given."""
    chances, count = np.array([p], float), len(p)
    slow = np.zeros((1, count)) if slower is None else np.array([slower])
    looks = Looks(np.arange(count, dtype=float)[None], chances, slow, np.ones((1, count), bool))
    return replace(answer, p=chances[:, -1], p_slowed=slow[:, -1], looks=looks)


def flat(p: float) -> list[float]:
    return [0.9 * (1 - p), p, 0.1 * (1 - p)]


def word(found: Answer, enough: list[bool] | None = None) -> tuple[str, float]:
    count = found.looks.time.shape[1]
    held = held_words(found, LEVELS, np.array([enough or [True] * count]))
    number = int(held.word[0])
    return ("none" if number == NONE else HELD[number].value), float(held.since[0])


@pytest.mark.parametrize(
    ("chances", "said", "since"),
    [
        ([0.6, 0.74], "none", np.nan),
        ([0.6, 0.75], "plateau", 1.0),
        ([0.8, 0.51], "plateau", 0.0),
        ([0.8, 0.49], "none", np.nan),
        ([0.8, 0.49, 0.74], "none", np.nan),
        ([0.8, 0.49, 0.76, 0.6], "plateau", 2.0),
        ([0.8, 0.6, 0.1], "gaining", 2.0),
    ],
)
def test_a_word_is_said_at_one_level_and_kept_down_to_another(answer, chances, said, since) -> None:
    found, start = word(looking(answer, [flat(p) for p in chances]))
    assert found == said
    assert start == pytest.approx(since, nan_ok=True)


def test_slowed_is_held_like_the_others_and_gives_way_to_a_class(answer: Answer) -> None:
    unsure = [0.45, 0.5, 0.05]
    assert word(looking(answer, [unsure, unsure], [0.79, 0.79]))[0] == "none"
    assert word(looking(answer, [unsure, unsure], [0.8, 0.51])) == ("slowed", 0.0)
    assert word(looking(answer, [unsure, unsure], [0.8, 0.49]))[0] == "none"
    assert word(looking(answer, [unsure, flat(0.8)], [0.9, 0.9])) == ("plateau", 1.0)
    assert word(looking(answer, [flat(0.8), flat(0.6)], [0.9, 0.9])) == ("plateau", 0.0)


def test_looks_at_too_short_a_record_say_nothing(answer: Answer) -> None:
    seen = looking(answer, [flat(0.9), flat(0.6)])
    assert word(seen, [False, True])[0] == "none"
    assert word(seen, [True, True])[0] == "plateau"


def test_the_class_that_is_held_is_the_likeliest_one() -> None:
    """For it is kept only while it is likelier than not."""
    tests = batch(seasons(np.random.default_rng(2), 60, QUICK), QUICK)
    found = analyse(tests, BUILT_IN)
    levels = levels_of(np.full(60, 0.3), DEFAULT, learned=False)
    held = held_words(found, levels, np.ones(found.looks.valid.shape, bool)).word
    classes = (held != NONE) & (held < 3)
    assert classes.sum() > 20
    assert (found.p.argmax(axis=1)[classes] == held[classes]).all()


def test_the_last_look_is_today_and_all_lie_in_the_record_in_order() -> None:
    tests = batch(seasons(np.random.default_rng(3), 20, QUICK), QUICK)
    looks = analyse(tests, BUILT_IN).looks
    last = tests.t[np.arange(20), tests.count - 1]
    assert looks.time[:, -1] == pytest.approx(last)
    assert looks.valid[:, -1].all()
    for i in range(20):
        time = looks.time[i][looks.valid[i]]
        assert (np.diff(time) >= 0).all()
        assert time[0] > tests.t[i, 0]
        assert looks.p[i][looks.valid[i]].sum(axis=1) == pytest.approx(1.0)


def test_a_look_back_is_about_what_was_said_then() -> None:
    """Readings and noise are the whole record's; measured 0.012 in the median, 0.04 for nine in ten."""
    tests = batch(seasons(np.random.default_rng(4), 60, QUICK), QUICK)
    looks = analyse(tests, BUILT_IN).looks
    apart: list[Floats] = []
    for back in (2, 5, 8):
        series = np.arange(60)
        time = looks.time[series, -1 - back]
        count = np.array([np.searchsorted(tests.t[i, : tests.count[i]], time[i] - 1e-9) for i in series])
        use = looks.valid[series, -1 - back] & (count > 10)
        then = analyse(tests.take(np.flatnonzero(use)).until(count[use]), BUILT_IN)
        apart.append(np.abs(then.p - looks.p[use, -1 - back]).max(axis=1))
    differences = np.concatenate(apart)
    assert np.median(differences) < 0.03
    assert np.quantile(differences, 0.9) < 0.1


@pytest.mark.parametrize("learned", [False, True])
@pytest.mark.parametrize(("days", "row"), [(3, 0), (7, 0), (14, 1), (30, 2), (200, 2)])
def test_levels_go_by_rhythm_and_priors_unless_the_settings_give_them(
    days: int, row: int, learned: bool
) -> None:
    gap = np.array([days / 30.4375])
    found = levels_of(gap, DEFAULT, learned=learned)
    assert tuple(found.enter[0]) == (WITH_LEARNED if learned else WITH_BUILT_IN)[row][1]
    own = levels_of(gap, replace(DEFAULT, plateau_from=0.9), learned=learned)
    assert own.enter[0, 1] == 0.9
    assert own.enter[0, 0] == found.enter[0, 0]
