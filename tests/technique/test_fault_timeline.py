"""The life of a fault: state on any day, sides apart, hearsay believed but marked."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.technique.build import SWIMMER, day, steps
from tracker.model.fault import FaultStep
from tracker.model.vocabularies import State, Step
from tracker.technique.fault_timeline import CLOSED, spells, state_on, timelines

END = day("06-30")


def test_a_whole_life_in_order() -> None:
    """Opened, worked on, corrected, back and parked: each state lasts until the next step's day."""
    known = steps(
        "01-10 open breath-late/left 2 Mika",
        "02-01 work breath-late/left",
        "03-01 corrected breath-late/left Mika",
        "04-01 back breath-late/left 1 Mika",
        "05-01 parked breath-late/left: race in June",
    )
    found = [(s.state, s.begins, s.ends, s.severity) for s in spells(known, END)]
    assert found == [
        ("open", day("01-10"), day("02-01"), 2),
        ("in work", day("02-01"), day("03-01"), 2),
        ("corrected", day("03-01"), day("04-01"), 2),
        ("back", day("04-01"), day("05-01"), 1),
        ("parked", day("05-01"), None, 1),
    ]
    assert spells(known, END)[-1].note == "race in June"
    assert timelines(known, END)[0].openings == (day("01-10"), day("04-01"))


@pytest.mark.parametrize(
    ("on", "state"),
    [
        ("01-09", None),
        ("01-10", "open"),
        ("02-28", "in work"),
        ("03-01", "corrected"),
        ("04-30", "corrected"),
    ],
)
def test_state_on_a_past_day_is_the_one_at_its_end(on: str, state: State | None) -> None:
    known = steps("01-10 open kick-hard", "02-01 work kick-hard", "03-01 corrected kick-hard Mika")
    assert state_on(known, day(on)) == state


def test_sides_live_apart() -> None:
    """A breath corrected on the left says nothing about the right."""
    known = steps(
        "01-10 open breath-late/right", "01-10 open breath-late/left", "02-01 corrected breath-late/left Mika"
    )
    assert {timeline.side: timeline.moments[-1].state for timeline in timelines(known, END)} == {
        "left": "corrected",
        "right": "open",
    }


def test_corrected_by_hearsay_is_only_said_until_a_reviewer_has_seen_it() -> None:
    known = steps("01-10 open kick-hard Mika", "02-01 corrected kick-hard", "03-01 corrected kick-hard Mika")
    assert state_on(known, day("02-15")) == "said to be corrected"
    assert state_on(known, day("03-01")) == "corrected"


def test_hearsay_after_a_reviewer_does_not_weaken_what_was_seen() -> None:
    known = steps("01-10 open kick-hard", "02-01 corrected kick-hard Mika", "03-01 corrected kick-hard")
    assert state_on(known, END) == "corrected"


def test_a_corrected_fault_that_is_seen_is_back_on_that_day() -> None:
    """Nobody types "back" while looking at a clip: a fault that is seen is not corrected."""
    known = steps("01-10 open kick-hard", "02-01 corrected kick-hard", "03-01 seen kick-hard 2 Mika")
    (timeline,) = timelines(known, END)
    assert timeline.moments[-1].state == "back"
    assert timeline.openings == (day("01-10"), day("03-01"))


def test_a_corrected_fault_that_is_opened_anew_is_back() -> None:
    """Whoever types "open" for a fault corrected before means that it has come back."""
    known = steps("01-10 open kick-hard", "02-01 corrected kick-hard Mika", "03-01 open kick-hard")
    (timeline,) = timelines(known, END)
    assert (timeline.moments[-1].state, timeline.opened_by(END)) == ("back", day("03-01"))
    assert state_on([*known, *steps("04-01 open kick-hard")], END) == "back"


def test_seen_again_changes_severity_only() -> None:
    known = steps("01-10 open kick-hard 1", "02-01 work kick-hard", "03-01 seen kick-hard 3 Mika")
    (timeline,) = timelines(known, END)
    moment = timeline.on(END)
    assert moment is not None
    assert (moment.state, moment.severity) == ("in work", 3)
    assert [s.severity for s in timeline.sightings] == [1, 3]


def test_parking_keeps_its_reason_when_the_fault_is_seen_again() -> None:
    known = steps(
        "01-10 open ankles-stiff",
        "02-01 parked ankles-stiff: slow to change",
        "03-01 seen ankles-stiff 2 Mika",
    )
    (_, parked) = spells(known, END)
    assert (parked.state, parked.note, parked.severity) == ("parked", "slow to change", 2)


def test_two_steps_on_one_day_leave_the_later_state_and_the_opening() -> None:
    known = steps("01-10 open kick-hard", "01-10 work kick-hard")
    (timeline,) = timelines(known, END)
    assert [m.state for m in timeline.moments] == ["in work"]
    assert timeline.openings == (day("01-10"),)


def test_a_fault_that_was_never_open_can_be_noted_as_corrected() -> None:
    known = steps("01-10 corrected kick-hard Mika")
    (timeline,) = timelines(known, END)
    assert timeline.openings == ()
    assert timeline.moments[-1].state == "corrected"


STEPS = st.lists(
    st.builds(
        FaultStep,
        date=st.dates(dt.date(2026, 1, 1), dt.date(2026, 1, 12)),
        swimmer=st.just(SWIMMER),
        fault=st.sampled_from(["kick-hard", "breath-late"]),
        side=st.sampled_from(["", "left", "right"]),
        step=st.sampled_from(Step),
        severity=st.none() | st.integers(1, 3),
        reviewer=st.sampled_from(["", "Mika"]),
        note=st.just(""),
    ),
    max_size=12,
)


@given(STEPS)
def test_spells_of_a_fault_touch_and_never_overlap(known: list[FaultStep]) -> None:
    """Each fault has exactly one state on each day from its first step on."""
    found = spells(known, END)
    for timeline in timelines(known, END):
        own = [s for s in found if (s.fault, s.side) == (timeline.fault, timeline.side)]
        assert own[0].begins == timeline.moments[0].day
        assert own[-1].ends is None
        assert all(a.ends == b.begins and a.begins < b.begins for a, b in pairwise(own))
        for spell in own:
            moment = timeline.on(spell.begins)
            assert moment is not None
            assert moment.state == spell.state


@given(STEPS)
def test_what_comes_later_never_changes_what_was(known: list[FaultStep]) -> None:
    """The state on a day is the same whether or not later steps are known."""
    for on in (dt.date(2026, 1, d) for d in (1, 4, 8, 12)):
        early = {(x.fault, x.side): x.on(on) for x in timelines(known, on)}
        late = {(x.fault, x.side): x.on(on) for x in timelines(known, END) if x.on(on)}
        assert early == late


@given(STEPS)
def test_a_fault_is_uncorrected_exactly_from_an_opening_to_the_next_correction(
    known: list[FaultStep],
) -> None:
    """Between two moments: not corrected on a day if and only if an opening lies after the last closing."""
    for timeline in timelines(known, END):
        for moment in timeline.moments:
            opened = timeline.opened_by(moment.day)
            if moment.state not in CLOSED:
                assert opened is not None
                assert all(m.state not in CLOSED for m in timeline.moments if opened <= m.day <= moment.day)
