"""What is doubtful: the limits of the settings and the algebra T400/T200 > 2 (common practice)."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.model.doubts import (
    CountsOdd,
    Doubt,
    LongerNotLonger,
    PartLengths,
    RateOdd,
    Ratio,
    RatioOdd,
    ShorterNotFaster,
    TooFast,
    TooSlow,
)
from tracker.model.plausibility import counts, doubts, thirty_doubt, usual_doubt
from tracker.model.swim import Swim
from tracker.settings import DEFAULT

DAY = dt.date(2026, 3, 2)


def _swim(distance: float, time: float, **fields: object) -> Swim:
    values = {
        "date": DAY,
        "swimmer": "Ines Aalto",
        "test": f"t{distance:g}",
        "distance_m": distance,
        "time_s": time,
    }
    return Swim.model_validate(values | fields)


def _pair(t400: float, t200: float) -> tuple[Swim, Swim]:
    return _swim(400, t400, test="css", set_id="a"), _swim(200, t200, test="css", set_id="a")


def _kinds(swim: Swim, *companions: Swim) -> list[tuple[type[Doubt], bool]]:
    return [(type(doubt), doubt.implausible) for doubt in doubts(swim, companions, DEFAULT)]


@pytest.mark.parametrize(
    ("distance", "time", "kind"),
    [(100, 20.0, TooFast), (100, 1200.0, TooSlow), (400, 24_300.0, TooSlow)],
)
def test_no_human_paces_are_implausible(distance: float, time: float, kind: type[Doubt]) -> None:
    assert _kinds(_swim(distance, time)) == [(kind, True)]


@pytest.mark.parametrize(("distance", "time"), [(50, 19.90), (50, 18.0), (25, 9.0)])
def test_a_short_swim_may_be_faster_than_any_100(distance: float, time: float) -> None:
    """The quickest 50 m known, in a short pool with a dive, took 19.90 s (from memory)."""
    assert _kinds(_swim(distance, time)) == []
    assert _kinds(_swim(distance, 0.99 * time if time != 19.90 else 17.9)) == [(TooFast, True)]


@pytest.mark.parametrize("pace", [40.0, 46.8, 360.0])
def test_the_limits_themselves_are_still_human(pace: float) -> None:
    assert _kinds(_swim(100, pace)) == []


@pytest.mark.parametrize(
    ("ratio", "expected"),
    [
        (1.95, [(Ratio, True)]),
        (2.00, [(Ratio, True)]),
        (2.01, [(RatioOdd, False)]),
        (2.03, []),
        (2.19, []),
        (2.21, [(RatioOdd, False)]),
        (2.25, [(RatioOdd, False)]),
        (2.26, [(Ratio, True)]),
    ],
)
def test_the_ratio_of_a_pair(ratio: float, expected: list[tuple[type[Doubt], bool]]) -> None:
    long, short = _pair(200 * ratio, 200.0)
    assert _kinds(long, short) == expected
    assert _kinds(short, long) == expected


@pytest.mark.parametrize(("t200", "t400"), [(106.6, 223.8), (103.6, 220.4), (116.7, 243.8), (114.1, 240.0)])
def test_record_pairs_are_plausible(t200: float, t400: float) -> None:
    """Freestyle records of four public lists: ratio 2.089 to 2.127."""
    long, short = _pair(t400, t200)
    assert _kinds(long, short) == []


def test_a_400_quicker_than_the_200_of_that_day_is_implausible() -> None:
    assert _kinds(_swim(400, 180.0), _swim(200, 185.0)) == [(LongerNotLonger, True)]


def test_a_separate_200_slower_than_the_400_pace_is_implausible_but_a_rested_one_is_not() -> None:
    assert _kinds(_swim(400, 360.0), _swim(200, 185.0)) == [(Ratio, True)]
    assert _kinds(_swim(400, 460.0), _swim(200, 200.0)) == []


def test_another_pool_suit_or_day_casts_no_doubt() -> None:
    slow = {"distance": 200, "time": 185.0}
    for change in ({"course": "LCM"}, {"suit": "wetsuit"}, {"date": dt.date(2026, 3, 3)}, {"kit": "paddles"}):
        assert _kinds(_swim(400, 360.0), _swim(slow["distance"], slow["time"], **change)) == []


def test_a_companion_a_person_has_decided_on_casts_no_doubt() -> None:
    for decision in ("accepted", "kept", "aside"):
        assert _kinds(_swim(400, 180.0), _swim(200, 185.0, decision=decision)) == []


def test_other_distances_are_only_remarked_upon() -> None:
    assert _kinds(_swim(1000, 1000.0), _swim(400, 410.0)) == [(ShorterNotFaster, False)]


def test_part_lengths_are_remarked_upon_except_after_whole_minutes() -> None:
    assert _kinds(_swim(410, 402.3)) == [(PartLengths, False)]
    assert _kinds(_swim(1480, 1800.0, test="t30", course="LCM")) == []
    assert _kinds(_swim(365.76, 402.3, course="SCY")) == []
    assert _kinds(_swim(410, 402.3, course="OW")) == []


def test_a_pool_length_is_taken_as_rounded() -> None:
    """Twelve lengths of a pool of a third of 100 m are 400 m, though 12 times 33.3 is not."""
    assert _kinds(_swim(400, 402.3, course="33.3m")) == []
    assert _kinds(_swim(400, 402.3, course="33.33m")) == []
    assert _kinds(_swim(401, 402.3, course="33.3m")) == [(PartLengths, False)]
    assert _kinds(_swim(400.5, 402.3, course="SCM")) == [(PartLengths, False)]


def test_count_and_rate_must_agree() -> None:
    # 400 m in 6:40 in 25 m: 25 s a length, 22.5 s of it swimming; at 24 cycles/min that is 18 strokes.
    assert _kinds(_swim(400, 400.0, strokes="18", rate_cpm=24.0)) == []
    assert _kinds(_swim(400, 400.0, strokes="18", rate_cpm=48.0)) == [(RateOdd, False)]
    assert _kinds(_swim(50, 50.0, strokes="18 19 20")) == [(CountsOdd, False)]


def test_a_decision_outranks_every_doubt() -> None:
    fast = _swim(100, 20.0)
    found = doubts(fast, (), DEFAULT)
    assert not counts(fast, found)
    assert counts(fast.model_copy(update={"decision": "accepted"}), found)
    assert counts(fast.model_copy(update={"decision": "kept"}), found)
    assert not counts(_swim(100, 90.0, decision="aside"), ())
    assert counts(_swim(100, 90.0), ())


def test_a_slip_of_a_minute_is_asked_about() -> None:
    earlier = [_swim(400, 405.0 + n, date=DAY - dt.timedelta(7 * n)) for n in range(1, 7)]
    slip = usual_doubt(_swim(400, 345.0), earlier)
    assert slip is not None
    assert slip.percent == pytest.approx(-15.4, abs=0.1)
    assert usual_doubt(_swim(400, 400.0), earlier) is None
    assert usual_doubt(_swim(400, 345.0), earlier[:4]) is None
    assert usual_doubt(_swim(400, 345.0, course="LCM"), earlier) is None


def test_thirty_minutes_are_swum_slower_than_css() -> None:
    assert thirty_doubt(100.0, 98.0) is None
    assert thirty_doubt(97.0, 98.0) is not None


@given(st.floats(1, 2000), st.floats(1, 2000), st.booleans())
def test_doubts_are_finite_and_say_themselves_once(t400: float, t200: float, pair: bool) -> None:
    long, short = _pair(t400, t200) if pair else (_swim(400, t400), _swim(200, t200))
    for swim in (long, short):
        found = doubts(swim, (long, short), DEFAULT)
        assert len(set(map(repr, found))) == len(found)
        flags = [doubt.implausible for doubt in found]
        assert flags == sorted(flags, reverse=True)
