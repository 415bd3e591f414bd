"""The course where nobody names one: the usual pool of the last ten tests, never the lake of yesterday."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.builders import a_swim
from tracker.model.usual_course import UsualCourse, usual_course


def _after(courses: str, otherwise: str = "SCM") -> UsualCourse:
    swims = [a_swim(day, course=course) for day, course in enumerate(courses.split())]
    return usual_course(swims, otherwise)


@pytest.mark.parametrize(
    ("courses", "taken"),
    [
        ("SCM SCM SCM OW", "SCM"),
        ("SCM SCM SCM SCY", "SCM"),
        ("SCM SCM LCM LCM", "LCM"),  # of equals the latest
        ("LCM LCM SCM SCM OW OW", "SCM"),
        ("33.3m 33.3m LCM", "33.3m"),
        ("SCM " * 20 + "LCM " * 6, "LCM"),  # six of the last ten
        ("SCM " * 20 + "LCM " * 5, "LCM"),
        ("SCM " * 20 + "LCM " * 4, "SCM"),
        ("LCM " + "SCM " + "OW " * 8, "SCM"),
    ],
)
def test_the_most_frequent_pool_of_the_last_ten_tests_is_taken(courses: str, taken: str) -> None:
    found = _after(courses)
    assert (found.course, found.usual, found.last) == (taken, True, courses.rsplit(maxsplit=1)[-1])


@pytest.mark.parametrize("courses", ["", "OW", "SCM " + "OW " * 10])
def test_where_no_pool_is_known_the_settings_say(courses: str) -> None:
    found = _after(courses, "LCM")
    assert (found.course, found.usual) == ("LCM", False)


def test_the_swims_of_one_test_count_once() -> None:
    one_set = [a_swim(0, course="SCY", set_id="reps") for _ in range(10)]
    others = [a_swim(day, course="SCM") for day in (1, 2)]
    assert usual_course([*one_set, *others], "LCM").course == "SCM"


@given(st.lists(st.sampled_from(["SCM", "LCM", "SCY", "OW", "33.3m"]), max_size=14))
def test_open_water_is_never_taken_and_no_other_pool_is_more_usual(courses: list[str]) -> None:
    found = _after(" ".join(courses))
    assert found.course != "OW"
    pools = [course for course in courses[-10:] if course != "OW"]
    assert found.usual == bool(pools)
    if pools:
        assert pools.count(found.course) == max(map(pools.count, pools))
