"""Confounders: what else stood near the onset, nothing further away, nothing about health."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest

from tests.technique.build import SWIMMER, a_stretch, day, steps
from tracker.engine.series.from_swims import Columns, swims_columns
from tracker.model.event import Event, Load
from tracker.model.event_kinds import EventKind
from tracker.output.sentences.link import confounder_sentence
from tracker.settings import DEFAULT
from tracker.technique.confounders import OnsetContext, SwimConditions, confounders_near, swum_near
from tracker.technique.fault_timeline import timelines
from tracker.technique.link import Confounder, Finding

AS_OF = day("06-30")
STRETCH = a_stretch("03-01")


def an_event(kind: EventKind, begins: str, ends: str | None = None, note: str = "") -> Event:
    return Event(
        from_date=day(begins), to_date=day(ends) if ends else None, swimmer=SWIMMER, kind=kind, note=note
    )


def weekly(
    first: str, count: int, *, every: int = 7, course: str = "SCM", suit: str = "none"
) -> list[SwimConditions]:
    start = day(first)
    return [SwimConditions(start + dt.timedelta(days=every * n), "t400", course, suit) for n in range(count)]


def named(around: OnsetContext, *, health: bool = False) -> list[str]:
    found = confounders_near(STRETCH, around, as_of=AS_OF, settings=replace(DEFAULT, health=health))
    return [confounder.what for confounder in found]


def test_an_event_counts_if_it_touches_six_weeks_on_either_side() -> None:
    """1 March 2026 less 42 days is 18 January, plus 42 days is 12 April."""
    for begins, ends, near in [
        ("2025-12-01", "01-17", False),
        ("2025-12-01", "01-18", True),
        ("04-12", None, True),
        ("04-13", "05-01", False),
    ]:
        assert named(OnsetContext(events=[an_event("layoff", begins, ends)])) == (["layoff"] if near else [])


def test_an_event_with_no_end_is_a_day() -> None:
    assert named(OnsetContext(events=[an_event("layoff", "01-17")])) == []


def test_health_is_only_ever_a_break_and_only_if_switched_on() -> None:
    events = [an_event("injury", "02-20", note="shoulder"), an_event("illness", "03-10", note="flu")]
    assert named(OnsetContext(events=events)) == []
    found = confounders_near(
        STRETCH, OnsetContext(events=events), as_of=AS_OF, settings=replace(DEFAULT, health=True)
    )
    assert [(confounder.what, confounder.detail) for confounder in found] == [("break", ""), ("break", "")]


def test_a_pool_switched_for_good_is_named_with_its_day() -> None:
    swims = weekly("2025-12-07", 12) + weekly("03-08", 10, course="LCM")
    (confounder,) = confounders_near(STRETCH, OnsetContext(swims=swims), as_of=AS_OF, settings=DEFAULT)
    assert (confounder.what, confounder.begins, confounder.detail) == ("pool", day("03-08"), "SCM to LCM")


def test_one_swim_elsewhere_is_no_switch() -> None:
    swims = weekly("2025-12-07", 30)
    swims[13] = swims[13]._replace(course="LCM", suit="wetsuit")
    assert named(OnsetContext(swims=swims)) == []


def test_two_protocols_taken_in_turn_are_no_switch() -> None:
    """A 400 one week and a 200 the next is the usual rhythm, before and after."""
    swims = [s._replace(protocol=("t400", "t200")[n % 2]) for n, s in enumerate(weekly("2025-11-30", 24))]
    assert named(OnsetContext(swims=swims)) == []


def test_a_switch_far_from_the_onset_is_no_confounder() -> None:
    swims = weekly("2025-09-07", 14) + weekly("2025-12-14", 20, suit="wetsuit")
    assert named(OnsetContext(swims=swims)) == []


def test_tests_that_become_half_as_many_are_named() -> None:
    often, seldom = weekly("01-18", 6), weekly("03-01", 3, every=14)
    assert named(OnsetContext(swims=often + seldom)) == ["fewer tests"]
    assert named(OnsetContext(swims=often + weekly("03-01", 6))) == []


def weeks(first: str, metres: list[float | None], sessions: int | None = None) -> list[Load]:
    start = day(first)
    return [
        Load(week=start + dt.timedelta(weeks=n), swimmer=SWIMMER, metres=m, sessions=sessions)
        for n, m in enumerate(metres)
    ]


def test_less_swum_is_named_with_how_much_less() -> None:
    """10 km a week before, 7 km after: 30 % less, beyond the fifth that is asked for."""
    load = weeks("01-19", [10_000.0] * 6) + weeks("03-02", [7_000.0] * 6)
    (confounder,) = confounders_near(STRETCH, OnsetContext(load=load), as_of=AS_OF, settings=DEFAULT)
    assert (confounder.what, confounder.detail) == ("less swum", "30 %")


@pytest.mark.parametrize(
    ("before", "after", "found"),
    [
        ((6, 10_000.0), (4, 9_000.0), []),  # 10 % less a week, though 40 % less in all
        ((4, 10_000.0), (6, 8_000.0), ["20 %"]),  # as far as is asked for, though more in all
        ((4, 10_000.0), (6, 8_100.0), []),
        ((3, 10_000.0), (3, 5_000.0), ["50 %"]),
        ((2, 10_000.0), (6, 5_000.0), []),
        ((6, 10_000.0), (2, 5_000.0), []),
        ((6, 8_000.0), (6, 10_000.0), []),
    ],
)
def test_a_week_is_compared_with_a_week_however_many_were_logged(before, after, found) -> None:
    """By hand: metres a week after over metres a week before; three weeks on either side at least."""
    first = day("03-02") - dt.timedelta(weeks=before[0])
    load = weeks(first.isoformat(), [before[1]] * before[0]) + weeks("03-02", [after[1]] * after[0])
    given = confounders_near(STRETCH, OnsetContext(load=load), as_of=AS_OF, settings=DEFAULT)
    assert [one.detail for one in given if one.what == "less swum"] == found


@pytest.mark.parametrize(
    ("begun", "near"),
    [
        ("2025-01-18", True),  # 42 days before the day a year ago: 407 days before the onset
        ("2025-01-17", False),
        ("2025-04-11", True),  # 41 days after it
        ("2025-04-13", False),
        ("2024-03-01", True),
        ("2024-08-30", False),
    ],
)
def test_a_season_is_six_weeks_on_either_side_of_the_same_day(begun: str, near: bool) -> None:
    """The onset is 1 March 2026."""
    end = (day(begun) + dt.timedelta(days=60)).isoformat()
    earlier = a_stretch(begun, end=end, current=False)
    assert named(OnsetContext(stretches=[earlier])) == (["season"] if near else [])


@pytest.mark.parametrize(("elsewhere", "found"), [(5, ["pool"]), (4, [])])
def test_a_pool_has_changed_where_its_share_rose_by_a_half(elsewhere: int, found: list[str]) -> None:
    """Ten swims before in one pool; of ten after, five or four in another, the first among them."""
    after = weekly("03-01", 10)
    for place in range(elsewhere):
        after[2 * place] = after[2 * place]._replace(course="LCM")
    assert named(OnsetContext(swims=weekly("2025-12-21", 10) + after)) == found


def test_a_little_less_swum_or_too_few_weeks_logged_is_not() -> None:
    assert named(OnsetContext(load=weeks("01-19", [10_000.0] * 6) + weeks("03-02", [8_500.0] * 6))) == []
    assert named(OnsetContext(load=weeks("02-16", [10_000.0] * 2) + weeks("03-02", [2_000.0] * 6))) == []


def test_sessions_serve_where_metres_were_not_logged() -> None:
    load = weeks("01-19", [None] * 6, sessions=4) + weeks("03-02", [None] * 6, sessions=2)
    assert named(OnsetContext(load=load)) == ["less swum"]


def test_a_stretch_at_the_same_time_of_last_year_suggests_a_season() -> None:
    assert named(OnsetContext(stretches=[a_stretch("2025-03-20", end="2025-06-01", current=False)])) == [
        "season"
    ]
    assert (
        named(OnsetContext(stretches=[a_stretch("2025-08-01", end="2025-10-01", current=False), STRETCH]))
        == []
    )


def test_nothing_after_the_day_of_the_verdict_is_looked_at() -> None:
    found = confounders_near(
        STRETCH, OnsetContext(events=[an_event("camp", "03-20")]), as_of=day("03-19"), settings=DEFAULT
    )
    assert found == ()


def test_tests_moved_from_morning_to_evening_are_named_with_the_day() -> None:
    swims = [s._replace(at="07:00" if n < 12 else "18:30") for n, s in enumerate(weekly("2025-12-07", 22))]
    (found,) = confounders_near(STRETCH, OnsetContext(swims=swims), as_of=AS_OF, settings=DEFAULT)
    assert (found.what, found.begins) == (Finding.HOUR, swims[12].date)
    assert found.detail == "morning to afternoon or evening"


def test_hours_in_turn_or_hardly_known_or_moved_long_ago_are_no_switch() -> None:
    swims = weekly("2025-11-02", 30)
    in_turn = [s._replace(at=("07:00", "18:30")[n % 2]) for n, s in enumerate(swims)]
    within_the_morning = [s._replace(at="06:00" if n < 17 else "09:30") for n, s in enumerate(swims)]
    long_ago = [s._replace(at="07:00" if n < 8 else "18:30") for n, s in enumerate(swims)]
    since_logged = [s._replace(at="" if n < 17 else "18:30") for n, s in enumerate(swims)]
    for record in (in_turn, within_the_morning, long_ago, since_logged):
        assert named(OnsetContext(swims=record)) == []


def test_another_effort_for_good_is_named_and_an_easy_swim_between_is_not() -> None:
    swims = [s._replace(effort=10 if n < 12 else 8) for n, s in enumerate(weekly("2025-12-07", 22))]
    (found,) = confounders_near(STRETCH, OnsetContext(swims=swims), as_of=AS_OF, settings=DEFAULT)
    assert (found.what, found.detail) == (Finding.EFFORT, "all out to effort 8")
    alike = [s._replace(effort=(9, 10, 5)[n % 3]) for n, s in enumerate(swims)]
    assert named(OnsetContext(swims=alike)) == []


def test_a_tapered_test_near_the_onset_is_named_and_one_far_away_is_not() -> None:
    swims = weekly("2025-11-02", 30)
    for place, found in ((16, [Finding.TAPER]), (28, [])):
        tapered = [s._replace(tapered=n == place) for n, s in enumerate(swims)]
        assert named(OnsetContext(swims=tapered)) == found


def test_weeks_without_a_swim_that_end_near_the_onset_are_named() -> None:
    swims = weekly("2025-12-07", 8) + weekly("02-22", 10)
    (found,) = confounders_near(STRETCH, OnsetContext(swims=swims), as_of=AS_OF, settings=DEFAULT)
    assert (found.what, found.begins, found.ends) == (Finding.GAP, day("01-25"), day("02-22"))
    long_before = weekly("2025-11-30", 2) + weekly("01-11", 20)
    assert named(OnsetContext(swims=long_before)) == []


@pytest.mark.parametrize("what", list(Finding))
def test_every_finding_is_said_in_a_sentence(what: Finding) -> None:
    for ends in (None, day("03-08")):
        said = confounder_sentence(Confounder(what, day("03-01"), ends, "this to that"), AS_OF)
        assert said[0].isupper()
        assert said.endswith(".")
        assert "March" in said


def test_the_likeliest_kind_comes_first() -> None:
    load = weeks("01-19", [10_000.0] * 6) + weeks("03-02", [5_000.0] * 6)
    events = [an_event("race", "02-22"), an_event("layoff", "03-10")]
    assert named(OnsetContext(events=events, load=load)) == ["less swum", "layoff", "race"]


def columns_of(rows: list[tuple[str, dt.date, str, float]]) -> Columns:
    common = {"time_s": 300.0, "course": "SCY", "suit": "none", "kit": "", "start": "push", "set_id": "",
              "at": "", "effort": None, "taper": "", "warmup_min": None, "rest_s": None}  # fmt: skip
    return swims_columns(
        [
            {**common, "swimmer": name, "date": date, "test": test, "distance_m": metres, "decision": ""}
            for name, date, test, metres in rows
        ]
    )


def test_a_swim_outside_any_test_has_its_distance_as_protocol() -> None:
    swims = columns_of([("Ada", day("03-01"), "", 365.76), ("Ada", day("03-02"), "t400", 400.0)])
    assert swum_near(swims, slice(0, 2), day("03-01"), DEFAULT) == [
        SwimConditions(day("03-01"), "365.76 m", "SCY", "none"),
        SwimConditions(day("03-02"), "t400", "SCY", "none"),
    ]


def test_no_swim_that_the_confounders_look_at_is_left_out() -> None:
    """What is made for an onset gives the confounders that the whole record gives."""
    rng = np.random.default_rng(8)
    for _ in range(30):
        start = day("01-05") + dt.timedelta(days=int(rng.integers(0, 60)))
        days = sorted(start + dt.timedelta(days=int(k)) for k in rng.integers(-150, 200, 60))
        tests = [("t400", "t1500")[int(k)] for k in rng.random(60) < 0.5 + 0.4 * np.sign(np.arange(60) - 30)]
        swims = columns_of([("Ada", d, t, 400.0) for d, t in zip(days, tests, strict=True)])
        before = columns_of([("Aaron", start, "t200", 200.0)])
        both = {name: np.concatenate([before[name], swims[name]]) for name in swims}
        stretch = replace(STRETCH, start=start)
        every = [SwimConditions(d, t, "SCY", "none") for d, t in zip(days, tests, strict=True)]
        near = swum_near(both, slice(1, 61), start, DEFAULT)
        assert len(near) < 60
        for as_of in (days[-1], start + dt.timedelta(days=20)):
            told = [
                confounders_near(stretch, OnsetContext(swims=some), as_of=as_of, settings=DEFAULT)
                for some in (near, every)
            ]
            assert told[0] == told[1]


def test_more_swum_is_named_and_weeks_of_a_lay_off_are_no_measure_of_it() -> None:
    """Six weeks of 10 km, then 13 km: 30 % more."""
    load = weeks("01-19", [10_000.0] * 6) + weeks("03-02", [13_000.0] * 6)
    (found,) = confounders_near(STRETCH, OnsetContext(load=load), as_of=AS_OF, settings=DEFAULT)
    assert (found.what, found.detail) == (Finding.MORE_SWUM, "30 %")
    assert confounder_sentence(found, AS_OF) == "30 % more swum (1 March)."
    ill = [an_event("layoff", "01-19", "02-22")]
    after_it = weeks("01-19", [500.0] * 5 + [10_000.0]) + weeks("03-02", [10_000.0] * 6)
    assert named(OnsetContext(load=after_it, events=ill)) == ["layoff"]
    assert named(OnsetContext(load=weeks("01-19", [10_000.0] * 6) + weeks("03-02", [11_000.0] * 6))) == []


@pytest.mark.parametrize(("faults", "found"), [(2, []), (3, ["faults in work"]), (4, ["faults in work"])])
def test_too_many_faults_in_work_at_once_are_named_with_their_number(faults: int, found: list[str]) -> None:
    slugs = ("breath-late", "elbow-dropped", "kick-wide", "legs-low")[:faults]
    lines = [f"02-{10 + n} work {slug}" for n, slug in enumerate(slugs)]
    known = timelines(steps(*lines), AS_OF)
    around = OnsetContext(faults=known)
    assert named(around) == found
    if found:
        (one,) = confounders_near(STRETCH, around, as_of=AS_OF, settings=DEFAULT)
        assert confounder_sentence(one, AS_OF) == "3 faults in work at once (12 February)."
    corrected = timelines(steps(*lines, "02-11 corrected breath-late Mika"), AS_OF)
    assert named(OnsetContext(faults=corrected)) == ([] if faults < 4 else ["faults in work"])
