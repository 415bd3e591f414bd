"""Logged swims to comparable rows: what counts, what is left out, what is one test."""

import numpy as np
import pytest

from tests.builders import a_swim
from tracker.engine.series.from_swims import rows_from_swims, swims_columns
from tracker.model.plausibility import counts, doubts
from tracker.model.swim import Swim
from tracker.settings import DEFAULT


def columns(*swims: Swim):
    return swims_columns([swim.model_dump() for swim in swims])


def test_pace_is_seconds_per_100_m_and_the_400_of_a_pair_joins_the_400s() -> None:
    rows, left = rows_from_swims(
        columns(
            a_swim(0, 400),
            a_swim(7, 396, test="css", set_id="a"),
            a_swim(7, 188, test="css", distance_m=200.0, set_id="a"),
        ),
        DEFAULT,
    )
    assert left == ()
    assert rows.pace.tolist() == [100.0, 99.0, 94.0]
    assert rows.protocol.tolist() == ["400 m", "400 m", "200 m after the first"]


@pytest.mark.parametrize(
    ("fields", "why"),
    [
        ({"decision": "aside"}, "set aside by a person"),
        ({"kit": "paddles"}, "with kit"),
        ({"time_s": 90.0}, "implausible, nobody decided"),
    ],
)
def test_what_does_not_count_is_left_out_with_its_reason(fields, why) -> None:
    rows, left = rows_from_swims(columns(a_swim(0), a_swim(7, **fields)), DEFAULT)
    assert len(rows) == 1
    assert [one.reason for one in left] == [why]


@pytest.mark.parametrize("decision", ["accepted", "kept"])
def test_an_implausible_swim_counts_once_a_person_said_so(decision: str) -> None:
    rows, left = rows_from_swims(columns(a_swim(0, 90.0, decision=decision)), DEFAULT)
    assert len(rows) == 1
    assert left == ()


def test_repeats_are_one_test_at_their_mean_pace() -> None:
    swims = [a_swim(0, 90.0 + i, test="reps", distance_m=100.0, set_id="r") for i in range(5)]
    rows, _ = rows_from_swims(columns(*swims), DEFAULT)
    assert rows.pace.tolist() == [92.0]
    assert rows.weight.tolist() == [1.0]


def test_nothing_after_the_day_asked_about_is_looked_at() -> None:
    swims = columns(a_swim(0), a_swim(7))
    rows, _ = rows_from_swims(swims, DEFAULT, until=a_swim(6).date)
    assert len(rows) == 1


def test_a_glance_never_disagrees_with_the_rule_one_by_one() -> None:
    """The quick look over a long table is only a shortcut: brute force over random days agrees."""
    rng = np.random.default_rng(11)
    for _ in range(150):
        swims = [
            a_swim(
                int(rng.integers(0, 3)),
                float(np.round(distance * rng.choice([0.5, 0.9, 1.0, 1.02, 1.1, 4.0]), 1)),
                distance_m=float(distance),
                test=str(rng.choice(["css", "t200", "t400", ""])),
                set_id=str(rng.choice(["", "a"])),
                decision=str(rng.choice(["", "", "", "kept", "aside"])),
            )
            for distance in rng.choice([100, 200, 400], size=int(rng.integers(1, 6)))
        ]
        swims.sort(key=lambda swim: swim.date)
        rows, _ = rows_from_swims(columns(*swims), DEFAULT)
        expected = sum(counts(swim, doubts(swim, swims, DEFAULT)) for swim in swims)
        assert (0 if rows is None else len(rows)) == expected


def test_two_swimmers_on_one_day_cast_no_doubt_on_each_other() -> None:
    """A 400 and a 200 in one time are swapped or mistyped of one swimmer, and nothing at all of two."""
    of_one = [a_swim(7, 340.0), a_swim(7, 340.0, distance_m=200.0)]
    of_two = [of_one[0], of_one[1].model_copy(update={"swimmer": "Zoe Tamm"})]
    assert len(rows_from_swims(columns(*of_one), DEFAULT)[1]) == 2
    assert rows_from_swims(columns(*of_two), DEFAULT)[1] == ()


def test_a_pace_that_nobody_swims_is_left_out_although_it_stands_alone_on_its_day() -> None:
    for time_s in (90.0, 1500.0):
        rows, left = rows_from_swims(columns(a_swim(0), a_swim(7, time_s), a_swim(14)), DEFAULT)
        assert rows.pace.tolist() == [100.0, 100.0]
        assert [one.date for one in left] == [a_swim(7).date]


def test_only_the_later_swim_of_one_css_pair_was_swum_tired() -> None:
    """Neither a set of another test nor two CSS swims that belong to no set are such a pair."""
    other = [a_swim(0, test="own", set_id="b"), a_swim(0, 188.0, test="own", set_id="b", distance_m=200.0)]
    loose = [a_swim(7, test="css"), a_swim(14, 188.0, test="css", distance_m=200.0)]
    rows, _ = rows_from_swims(columns(*other, *loose), DEFAULT)
    assert len(rows) == 4
    assert not any("after" in name for name in rows.protocol)
