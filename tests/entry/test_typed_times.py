"""What a hand types for a time: one plausible reading is taken, two are asked about, none is guessed."""

from __future__ import annotations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tracker.entry.times import parse_time
from tracker.entry.typed_times import UnclearTimeError, typed_pace, typed_time
from tracker.model.units import format_time
from tracker.settings import DEFAULT


def _typed(text: str, distance_m: float) -> float:
    return typed_time(text, distance_m, DEFAULT)


@pytest.mark.parametrize(
    ("text", "distance_m", "seconds"),
    [
        ("6:40", 400, 400.0),
        ("10:40", 400, 640.0),
        ("1:02:03.5", 5000, 3723.5),
        ("95", 100, 95.0),  # a clock has no 0:95 for it: one reading
        ("62.30", 100, 62.3),  # may be seconds, and then it is
        ("95.4", 100, 95.4),
        ("175", 100, 175.0),  # 1:75 is no time
        ("1370", 1000, 1370.0),
        ("240", 50, 160.0),  # 240 s is slower than anybody's test, 2:40 is not
        ("20.0", 100, 20.0),  # nothing that may be: the doubt about the swim says so
        ("6.5", 400, 6.5),
        (" 405.2 ", 100, 245.2),
    ],
)
def test_one_plausible_reading_is_taken(text: str, distance_m: float, seconds: float) -> None:
    assert _typed(text, distance_m) == seconds


@pytest.mark.parametrize(
    ("text", "distance_m", "choices"),
    [
        ("640", 400, ("6:40", "10:40")),
        ("0640", 400, ("6:40", "10:40")),
        ("640.5", 400, ("6:40.5", "10:40.5")),
        ("310", 200, ("3:10", "5:10")),
        ("130", 100, ("1:30", "2:10")),
        ("1032", 400, ("10:32", "17:12")),
        ("2130", 1000, ("21:30", "35:30")),
        ("11032", 5000, ("1:10:32", "3:03:52")),
        ("145", 400, ("1:45", "2:25")),  # neither is plausible, so neither is chosen
        ("6.40", 400, ("6:40",)),
        ("6,40", 400, ("6:40",)),
        ("1.32", 100, ("1:32",)),
        ("30", 1480, ("30:00",)),
        ("7", 400, ("7:00",)),
        ("100", 5000, ("1:40:00",)),
    ],
)
def test_what_may_be_meant_otherwise_is_a_question_that_names_each_reading(
    text: str, distance_m: float, choices: tuple[str, ...]
) -> None:
    with pytest.raises(UnclearTimeError) as asked:
        _typed(text, distance_m)
    assert asked.value.choices == choices
    assert all(choice in str(asked.value) for choice in choices)
    assert str(asked.value).startswith(repr(text))


@pytest.mark.parametrize("text", ["", "6:75", "nan", "6:4", "1_000", "-640", "६४०", "6,4", "6:40,5"])
def test_what_is_no_time_is_none_by_hand_either(text: str) -> None:
    with pytest.raises(ValueError, match=r"is empty|seconds|is not a time|digit|negative|comma") as wrong:
        _typed(text, 400)
    assert not isinstance(wrong.value, UnclearTimeError)


def test_a_time_that_is_no_swim_is_asked_about_too() -> None:
    with pytest.raises(UnclearTimeError, match="18:00 or 30:00"):
        typed_time("1800")
    assert typed_time("30:00") == 1800.0
    assert typed_time("30") == 30.0


def test_a_pace_that_nobody_swims_is_refused() -> None:
    assert typed_pace("1:32", DEFAULT) == 92.0
    assert typed_pace("92", DEFAULT) == 92.0
    with pytest.raises(UnclearTimeError, match="did you mean 1:32"):
        typed_pace("1.32", DEFAULT)
    for text in ("0:01.32", "1.3", "9:00"):
        with pytest.raises(ValueError, match="a pace is 0:40 to 6:00"):
            typed_pace(text, DEFAULT)


_DISTANCES = st.sampled_from([25.0, 50.0, 91.44, 100.0, 200.0, 365.76, 400.0, 1000.0, 1500.0, 5000.0])
_TYPED = st.from_regex(r"[0-9]{1,6}([.,][0-9]{1,2})?", fullmatch=True)


@given(st.integers(1, 35_999_99), _DISTANCES)
def test_a_colon_leaves_no_doubt(hundredths: int, distance_m: float) -> None:
    text = format_time(hundredths / 100)
    assert _typed(text, distance_m) == parse_time(text)


@given(_TYPED, _DISTANCES)
@example("640", 400.0)
@example("6.40", 400.0)
def test_every_choice_is_read_as_itself(text: str, distance_m: float) -> None:
    choices: tuple[str, ...] = ()
    try:
        _typed(text, distance_m)
    except UnclearTimeError as asked:
        choices = asked.choices
    except ValueError:
        pass
    for choice in choices:
        assert ":" in choice
        assert format_time(_typed(choice, distance_m)) == choice


@given(st.integers(1, 99), st.integers(0, 59), _DISTANCES)
def test_no_run_of_digits_with_two_plausible_readings_is_ever_taken(
    minutes: int, seconds: int, distance_m: float
) -> None:
    text = f"{minutes}{seconds:02d}"
    fits = [
        time
        for time in (minutes * 60 + seconds, float(text))
        if DEFAULT.fastest_pace_s <= 100 * time / distance_m <= DEFAULT.slowest_pace_s
    ]
    try:
        taken = _typed(text, distance_m)
    except UnclearTimeError:
        assert len(fits) != 1
    else:
        assert [taken] == fits


@pytest.mark.parametrize(("distance_m", "limits"), [(None, None), (None, DEFAULT), (400, None)])
def test_where_no_pace_can_be_told_every_reading_may_be(distance_m, limits) -> None:
    assert typed_time("6:40", distance_m, limits) == 400.0
    assert typed_time("20.0", distance_m, limits) == 20.0
    with pytest.raises(UnclearTimeError) as asked:
        typed_time("640", distance_m, limits)
    assert asked.value.choices == ("6:40", "10:40")
