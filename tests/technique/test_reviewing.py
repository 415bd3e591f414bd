"""Reviewers apart, each against the own error."""

from __future__ import annotations

import math

import pytest

from tests.technique.build import SWIMMER, day
from tracker.model.review import ReviewItem
from tracker.technique.reviewing import MDC95, LookChange, OwnError, look_changes, own_errors, typical_error

END = day("06-30")


def a_score(
    date: str, value: float, *, item: str = "catch", reviewer: str = "Mika", clip: str = ""
) -> ReviewItem:
    return ReviewItem(
        date=day(date), swimmer=SWIMMER, reviewer=reviewer, kind="score", item=item, value=value, clip=clip
    )


def a_measure(date: str, item: str, value: float, *, side: str = "right", clip: str = "") -> ReviewItem:
    fields = {"date": day(date), "swimmer": SWIMMER, "reviewer": "Mika", "kind": "measure", "clip": clip}
    return ReviewItem.model_validate({**fields, "item": item, "value": value, "side": side})


def test_typical_error_of_a_worked_example() -> None:
    """Five swimmers' two trials: mean difference -0.8, SD 3.96232, typical error 2.80179 (worked by hand)."""
    first, second = (360, 402, 388, 451, 420), (357, 405, 384, 447, 424)
    assert typical_error(list(zip(first, second, strict=True))) == pytest.approx(2.80179, abs=1e-5)
    assert pytest.approx(2.77, abs=0.005) == MDC95


def test_typical_error_of_paired_nights_of_sleep() -> None:
    """Extra hours of sleep of ten patients under two drugs (Cushny & Peebles 1905, R's `sleep`): 0.869738.

    Only these facts were retyped; the typical error was computed with numpy.
    """
    one = (0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0)
    two = (1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4)
    assert typical_error(list(zip(one, two, strict=True))) == pytest.approx(0.869738, abs=1e-6)


def twice(item: str, pairs: list[tuple[float, float]], reviewer: str = "Mika") -> list[ReviewItem]:
    found = []
    for place, (first, second) in enumerate(pairs):
        found.append(a_score("01-10", first, item=item, reviewer=reviewer, clip=f"clip {place}"))
        found.append(a_score("01-20", second, item=item, reviewer=reviewer, clip=f"clip {place}"))
    return found


def test_the_own_error_comes_from_clips_scored_twice_and_reviewers_are_never_pooled() -> None:
    items = twice("catch", [(2, 3), (3, 3), (4, 3)]) + twice("catch", [(2, 2), (3, 3), (4, 4)], "Aino")
    found = own_errors(items)
    assert found["Mika", "catch"].value == pytest.approx(math.sqrt(0.5))
    assert found["Aino", "catch"].value == 0.0
    assert found["Mika", "catch"].pairs == 3


def test_two_clips_or_other_clips_or_one_day_give_no_own_error() -> None:
    assert own_errors(twice("catch", [(2, 3), (3, 3)])) == {}
    assert own_errors([a_score("01-10", 2, clip="a"), a_score("01-20", 3, clip="b")] * 3) == {}
    assert own_errors([a_score("01-10", 2), a_score("01-20", 3)] * 3) == {}
    assert own_errors([a_score("01-10", 2, clip="a"), a_score("01-10", 3, clip="a")] * 3) == {}


def one_change(items: list[ReviewItem], more: list[ReviewItem] | None = None) -> LookChange:
    found = look_changes(items, own_errors([*items, *(more or [])]), until=END)
    assert len(found) == 1
    return found[0]


def test_a_step_within_the_own_error_is_no_change_seen() -> None:
    """Differences 2, -2, 2, -2: own error 1.63. A step of one is nothing, a step of two is seen."""
    wobbly = twice("catch", [(2, 4), (4, 2), (1, 3), (3, 1)])
    error = own_errors(wobbly)["Mika", "catch"].value
    assert 1 < error < 2
    assert one_change([a_score("02-01", 2), a_score("05-01", 3)], wobbly).seen == "no change seen"
    assert one_change([a_score("02-01", 2), a_score("05-01", 4)], wobbly).seen == "better"
    assert one_change([a_score("02-01", 4), a_score("05-01", 2)], wobbly).seen == "worse"


def test_without_an_own_error_a_step_is_stated_with_that_it_may_be_error() -> None:
    found = one_change([a_score("02-01", 2), a_score("05-01", 3)])
    assert (found.seen, found.needed, found.before, found.value) == ("changed", None, 2, 3)
    assert one_change([a_score("02-01", 2)]).seen == "first look"
    assert one_change([a_score("02-01", 2), a_score("05-01", 2)]).seen == "no change seen"


def test_the_own_error_has_limits_that_more_clips_narrow() -> None:
    """Chi-square: with 10 df the 5 and 95 % points are 3.940 and 18.307 (any printed table)."""
    ends = OwnError("Mika", "catch", 1.0, 11).ends
    assert ends == pytest.approx(((10 / 18.307) ** 0.5, (10 / 3.940) ** 0.5), rel=0.02)
    assert OwnError("Mika", "catch", 1.0, 4).ends[1] > ends[1]


def test_readings_that_all_repeat_leave_what_rounding_hides() -> None:
    low, high = OwnError("Mika", "catch", 0.0, 5).ends
    assert low == 0.0
    assert 12**-0.5 < high < 1.0
    items = [a_score("02-01", 2), a_score("05-01", 3)]
    (found,) = look_changes(items, {("Mika", "catch"): OwnError("Mika", "catch", 0.0, 5)}, until=END)
    assert (found.needed, found.needed_ends) == (0.0, (low, high))


def test_the_same_clip_scored_again_is_no_new_look() -> None:
    found = one_change(
        [a_score("02-01", 2, clip="a"), a_score("05-01", 3, clip="b"), a_score("05-20", 4, clip="b")]
    )
    assert (found.before, found.value) == (2, 4)


def test_reviewers_are_compared_with_themselves_only() -> None:
    items = [a_score("02-01", 2), a_score("03-01", 5, reviewer="Aino"), a_score("04-01", 2)]
    found = look_changes(items, {}, until=END)
    assert [(c.reviewer, c.seen) for c in found] == [("Mika", "no change seen"), ("Aino", "first look")]


def test_looks_after_the_day_are_not_known_yet() -> None:
    found = look_changes([a_score("02-01", 2), a_score("05-01", 4)], {}, until=day("04-30"))
    assert [c.seen for c in found] == ["first look"]


@pytest.mark.parametrize(
    ("item", "was", "value"),
    [
        ("hand-depth", 23.0, 16.0),
        ("elbow-angle", 158.0, 118.0),
        ("elbow-over-line", -4.0, -3.0),
        ("kick-depth", 50.0, 40.0),
    ],
)
def test_a_measure_changes_and_is_never_called_better(item: str, was: float, value: float) -> None:
    """No published value says which way is better; and without an own error it may all be reading."""
    looks = [a_measure("02-01", item, was), a_measure("05-01", item, value)]
    assert one_change(looks).seen == "changed"
    error = {("Mika", item): OwnError("Mika", item, 0.2, 5)}
    (found,) = look_changes(looks, error, until=END)
    assert found.seen == "changed"


def test_sides_of_a_measure_are_apart() -> None:
    items = [a_measure("02-01", "hand-depth", 20), a_measure("02-01", "hand-depth", 5, side="left")]
    assert [c.side for c in look_changes(items, {}, until=END)] == ["right", "left"]


def test_a_step_of_exactly_the_own_error_is_seen() -> None:
    """A score counts as changed from its reviewer's typical error on, here one point."""
    items = [a_score("02-01", 2), a_score("05-01", 3)]
    error = {("Mika", "catch"): OwnError("Mika", "catch", 1.0, 3)}
    (found,) = look_changes(items, error, until=END)
    assert found.seen == "better"
    (found,) = look_changes(items, {("Mika", "catch"): OwnError("Mika", "catch", 1.01, 3)}, until=END)
    assert found.seen == "no change seen"
