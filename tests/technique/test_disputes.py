"""Two reviewers who disagree on one day: what counts never rests on who typed first."""

from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.technique.build import SWIMMER, day, steps
from tracker.model.review import ReviewItem
from tracker.model.vocabularies import State
from tracker.technique.disputes import Dispute, several_looked
from tracker.technique.fault_timeline import timelines

END = day("06-30")
OPENED = "01-10 open kick-hard 2 Mika"


def clip(who: str, on: str = "03-01") -> ReviewItem:
    return ReviewItem(date=day(on), swimmer=SWIMMER, reviewer=who, kind="look", clip="20260301-1")


def measure(who: str) -> ReviewItem:
    return ReviewItem(
        date=day("03-01"), swimmer=SWIMMER, reviewer=who, kind="measure", item="body-roll", value=40.0
    )


def plain(who: str) -> ReviewItem:
    return ReviewItem(date=day("03-01"), swimmer=SWIMMER, reviewer=who, kind="score", item="kick", value=3.0)


@pytest.mark.parametrize(
    ("looks", "state", "by_care"),
    [
        ([], State.OPEN, False),
        ([clip("Bo")], State.CORRECTED, True),
        ([clip("Mika")], State.OPEN, True),
        ([measure("Bo"), plain("Mika")], State.CORRECTED, True),
        ([measure("Bo"), clip("Mika")], State.OPEN, False),
        ([clip("Bo", "02-01")], State.OPEN, False),
    ],
)
@pytest.mark.parametrize(
    "typed",
    [
        ["03-01 corrected kick-hard Bo", "03-01 seen kick-hard 1 Mika"],
        ["03-01 seen kick-hard 1 Mika", "03-01 corrected kick-hard Bo"],
        ["03-01 corrected kick-hard Bo", "03-01 back kick-hard 1 Mika"],
    ],
)
def test_the_more_careful_look_counts_else_the_one_that_says_uncorrected(
    typed: list[str], looks: list[ReviewItem], state: State, by_care: bool
) -> None:
    """The third is what the review's form writes down where "corrected" was typed before it."""
    (found,) = timelines(steps(OPENED, *typed), END, looks)
    assert found.moments[-1].state is state
    corrected = state is State.CORRECTED
    assert found.disputes == (Dispute("kick-hard", "", day("03-01"), ("Bo",), ("Mika",), corrected, by_care),)
    assert found.openings == (day("01-10"),)
    assert found.moments[-1].severity == (2 if corrected else 1)


def test_the_later_day_counts_whatever_was_disputed_before() -> None:
    known = steps(OPENED, "03-01 corrected kick-hard Bo", "03-01 seen kick-hard Mika")
    (found,) = timelines([*known, *steps("03-08 corrected kick-hard Mika")], END, [clip("Mika")])
    assert found.moments[-1].state is State.CORRECTED
    assert not found.disputes[0].stands
    (then,) = timelines(known, day("03-05"), [clip("Mika")])
    assert then.moments[-1].state is State.OPEN
    assert then.disputes[0].stands


def test_one_reviewer_who_looks_twice_is_read_in_the_order_typed() -> None:
    (found,) = timelines(steps(OPENED, "03-01 seen kick-hard Bo", "03-01 corrected kick-hard Bo"), END)
    assert found.moments[-1].state is State.CORRECTED
    assert found.disputes == ()
    assert not several_looked(steps(OPENED, "03-01 seen kick-hard Bo", "03-01 corrected kick-hard Bo"))
    assert not several_looked(steps(OPENED, "01-10 work kick-hard"))
    assert several_looked(steps(OPENED, "01-10 seen kick-hard Bo"))


def test_work_begun_on_that_day_stands_where_the_fault_does() -> None:
    typed = ("03-01 seen kick-hard Mika", "03-01 work kick-hard", "03-01 corrected kick-hard Bo")
    for order in permutations(typed):
        (found,) = timelines(steps(OPENED, *order), END)
        assert found.moments[-1].state is State.IN_WORK
        (found,) = timelines(steps(OPENED, *order), END, [clip("Bo")])
        assert found.moments[-1].state is State.CORRECTED


SAID = st.lists(
    st.tuples(st.sampled_from(["seen", "corrected"]), st.sampled_from([1, 2, 3])), min_size=3, max_size=3
)


@given(SAID, st.sets(st.sampled_from(["Ada", "Bo", "Cleo"])), st.booleans())
def test_no_order_of_typing_changes_anything(
    said: list[tuple[str, int]], careful: set[str], opened: bool
) -> None:
    who = ("Ada", "Bo", "Cleo")
    lines = [
        f"03-01 {step} kick-hard {severity} {name}" for name, (step, severity) in zip(who, said, strict=True)
    ]
    before = [OPENED] if opened else []
    looks = [clip(name) for name in careful]
    found = {timelines(steps(*before, *order), END, looks) for order in permutations(lines)}
    assert len(found) == 1
