"""The link rule against a second, plain reading of it, and its single cases."""

from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.technique.build import SWIMMER, a_stretch, day, steps
from tracker.model.catalogue import catalogue_order
from tracker.model.fault import FaultStep
from tracker.model.vocabularies import Step
from tracker.technique.fault_timeline import state_on
from tracker.technique.link_rule import link_stretch

AS_OF = day("06-30")


def test_the_fault_opened_last_before_the_onset_is_linked_and_the_rest_listed_in_order() -> None:
    link = link_stretch(
        a_stretch(),
        steps("2025-06-01 open kick-hard", "01-30 open breath-late/left 2", "2025-11-11 open kick-wide"),
        as_of=AS_OF,
    )
    assert (link.how, link.fault, link.side, link.state) == ("before", "breath-late", "left", "open")
    assert (link.opened, link.days_open) == (day("01-30"), 151)
    assert [c.fault for c in link.also] == ["kick-wide", "kick-hard"]


@pytest.mark.parametrize(
    ("later", "until"),
    [
        (["04-10 corrected kick-hard Mika"], "04-10"),
        (["04-10 corrected kick-hard Mika", "05-20 corrected kick-hard Mika"], "04-10"),
        (["04-10 corrected kick-hard", "05-20 corrected kick-hard Mika"], "05-20"),
        (
            ["04-10 corrected kick-hard Mika", "04-20 back kick-hard", "06-01 corrected kick-hard Mika"],
            "06-01",
        ),
        (["04-10 corrected kick-hard"], "06-30"),
        (["04-10 corrected kick-hard Mika", "04-20 back kick-hard Mika"], "06-30"),
        (["04-10 parked kick-hard: later"], "06-30"),
        (["07-10 corrected kick-hard Mika"], "06-30"),
    ],
)
def test_days_open_end_on_the_day_a_review_saw_it_corrected(later: list[str], until: str) -> None:
    """Not where it is only said to be so, or came back, and not by what lies after the verdict."""
    known = steps("01-30 open kick-hard", *later)
    link = link_stretch(a_stretch(), known, as_of=AS_OF)
    assert link.fault == "kick-hard"
    assert link.days_open == (day(until) - day("01-30")).days


def test_a_fault_corrected_on_the_very_day_of_the_onset_is_no_candidate() -> None:
    known = steps("01-10 open kick-hard", "03-01 corrected kick-hard Mika")
    assert link_stretch(a_stretch("03-01"), known, as_of=AS_OF).how == "none"
    known = steps("01-10 open kick-hard", "03-02 corrected kick-hard Mika")
    assert link_stretch(a_stretch("03-01"), known, as_of=AS_OF).fault == "kick-hard"


def test_an_opening_inside_the_onset_interval_counts_on_its_own_day() -> None:
    """On 1 March the fault was not known; on its opening day, 15 March, it was open: a candidate."""
    link = link_stretch(a_stretch(high="03-15"), steps("03-15 open kick-hard"), as_of=AS_OF)
    assert (link.how, link.state) == ("before", "open")
    assert (link.began, link.opened) == (day("03-01"), day("03-15"))
    link = link_stretch(a_stretch(high="03-15"), steps("03-16 open kick-hard"), as_of=AS_OF)
    assert (link.how, link.state) == ("during", "open")


def test_ties_go_to_severity_then_to_the_catalogue() -> None:
    known = steps("01-30 open kick-wide 1", "01-30 open breath-late 2", "01-30 open kick-hard 1")
    link = link_stretch(a_stretch(), known, as_of=AS_OF)
    assert link.fault == "breath-late"
    assert [c.fault for c in link.also] == ["kick-wide", "kick-hard"]


def test_own_faults_come_after_the_catalogue_or_where_the_given_order_says() -> None:
    known = steps("01-30 open own-wrist 1", "01-30 open sighting-high 1")
    assert link_stretch(a_stretch(), known, as_of=AS_OF).fault == "sighting-high"
    given_order = {"own-wrist": 0, "sighting-high": 1}
    assert link_stretch(a_stretch(), known, as_of=AS_OF, order=given_order).fault == "own-wrist"


def test_a_parked_fault_gives_way_to_any_other_even_an_older_one() -> None:
    known = steps("2025-06-01 open kick-wide", "01-20 open ankles-stiff", "02-01 parked ankles-stiff: slow")
    link = link_stretch(a_stretch(), known, as_of=AS_OF)
    assert link.fault == "kick-wide"
    assert [(c.fault, c.state) for c in link.also] == [("ankles-stiff", "parked")]
    link = link_stretch(a_stretch(), known[1:], as_of=AS_OF)
    assert (link.how, link.fault, link.state) == ("before", "ankles-stiff", "parked")


def test_said_to_be_corrected_counts_as_corrected_and_is_listed() -> None:
    known = steps("01-10 open kick-hard Mika", "02-10 corrected kick-hard")
    link = link_stretch(a_stretch(), known, as_of=AS_OF)
    assert (link.how, link.fault, link.evidence) == ("none", None, "none")
    assert [(c.fault, c.state) for c in link.said_corrected] == [("kick-hard", "said to be corrected")]


def test_of_faults_seen_only_later_the_first_is_named() -> None:
    known = steps("05-20 open kick-wide 3", "04-20 open kick-hard 1")
    link = link_stretch(a_stretch(), known, as_of=AS_OF)
    assert (link.how, link.fault, link.also) == ("during", "kick-hard", ())


def test_a_fault_opened_after_a_past_stretch_has_nothing_to_do_with_it() -> None:
    past = a_stretch(end="05-01", current=False)
    assert link_stretch(past, steps("05-02 open kick-hard"), as_of=AS_OF).how == "none"
    assert link_stretch(past, steps("05-01 open kick-hard"), as_of=AS_OF).how == "during"


def test_steps_after_the_day_of_the_verdict_are_not_known_yet() -> None:
    assert link_stretch(a_stretch(), steps("06-30 open kick-hard"), as_of=day("06-29")).how == "none"


def test_near_the_onset_coincides_long_before_is_on_record() -> None:
    """Seen 4 weeks before an onset of 1 March +- 2 weeks: within its 8 weeks. Seen 9 months before: not."""
    near = link_stretch(a_stretch(), steps("02-01 open kick-hard"), as_of=AS_OF)
    far = link_stretch(a_stretch(), steps("2025-06-01 open kick-hard"), as_of=AS_OF)
    assert (near.evidence, far.evidence) == ("coincides in time", "on record")


def test_an_old_fault_seen_again_near_the_onset_coincides() -> None:
    known = steps("2025-06-01 open kick-hard", "02-20 seen kick-hard 2 Mika")
    assert link_stretch(a_stretch(), known, as_of=AS_OF).evidence == "coincides in time"


def test_the_window_ends_eight_weeks_after_and_begins_two_weeks_before_the_sighting() -> None:
    """With an onset known to the day the window's edges are sharp: 56 days after, 14 before."""
    sharp = a_stretch("03-01", low="03-01", high="03-01")
    seen = {
        offset: link_stretch(
            sharp,
            [
                FaultStep(
                    date=sharp.start + dt.timedelta(days=offset),
                    swimmer=SWIMMER,
                    fault="kick-hard",
                    step="open",
                )
            ],
            as_of=AS_OF,
        ).evidence
        for offset in (-57, -56, 0, 14, 15)
    }
    assert seen == {
        -57: "on record",
        -56: "coincides in time",
        0: "coincides in time",
        14: "coincides in time",
        15: "on record",
    }


STEPS = st.lists(
    st.builds(
        FaultStep,
        date=st.dates(dt.date(2026, 2, 20), dt.date(2026, 3, 12)),
        swimmer=st.just(SWIMMER),
        fault=st.sampled_from(["kick-hard", "breath-late", "own-wrist", "ankles-stiff"]),
        side=st.sampled_from(["", "left"]),
        step=st.sampled_from(Step),
        severity=st.none() | st.integers(1, 3),
        reviewer=st.sampled_from(["", "Mika"]),
        note=st.just(""),
    ),
    max_size=10,
)


Key = tuple[str, str]


def plain_reading(
    known: list[FaultStep], since: dt.date, high: dt.date, last: dt.date
) -> tuple[str, Key | None]:
    """Return how and what is linked, by the wording of the rule; slow, without `FaultTimeline.openings`."""
    before: list[tuple[tuple[int, ...], Key]] = []
    during: list[tuple[tuple[int, ...], Key]] = []
    for key in {(step.fault, step.side) for step in known}:
        mine = sorted((s for s in known if (s.fault, s.side) == key), key=lambda step: step.date)
        opened = plain_openings(mine)
        for date in [date for date in opened if date <= high][-1:]:
            state, severity = plain_state(mine, max(since, date))
            if state not in {"corrected", "said to be corrected"}:
                before.append(((state == "parked", -date.toordinal(), -severity, PLACES[key[0]]), key))
        for date in [date for date in opened if high < date <= last][:1]:
            state, severity = plain_state(mine, date)
            during.append(((date.toordinal(), state == "parked", -severity, PLACES[key[0]]), key))
    if before:
        return "before", min(before)[1]
    return ("during", min(during)[1]) if during else ("none", None)


PLACES = {**catalogue_order(), "own-wrist": 99}


def plain_openings(mine: list[FaultStep]) -> list[dt.date]:
    closed_before = [True, *(step.step == "corrected" for step in mine)]
    return [
        step.date
        for step, closed in zip(mine, closed_before, strict=False)
        if step.step == "back" or (closed and step.step != "corrected")
    ]


def plain_state(mine: list[FaultStep], on: dt.date) -> tuple[str | None, int]:
    severities = [step.severity for step in mine if step.date <= on and step.severity]
    return state_on(mine, on), severities[-1] if severities else 0


@given(STEPS, st.integers(0, 6), st.integers(0, 6))
def test_the_rule_agrees_with_its_plain_reading(known: list[FaultStep], start: int, width: int) -> None:
    since = dt.date(2026, 2, 28) + dt.timedelta(days=start)
    high = since + dt.timedelta(days=width)
    stretch = a_stretch(since.isoformat(), low=since.isoformat(), high=high.isoformat())
    link = link_stretch(stretch, known, as_of=AS_OF)
    linked = None if link.fault is None else (link.fault, link.side)
    assert (link.how, linked) == plain_reading(known, since, high, AS_OF)


@given(STEPS, st.randoms(use_true_random=False))
def test_the_order_of_the_file_matters_only_within_a_day(known: list[FaultStep], random: object) -> None:
    """Steps of different days may stand in any order in the file."""
    by_day: dict[dt.date, list[FaultStep]] = {}
    for step in known:
        by_day.setdefault(step.date, []).append(step)
    days = list(by_day)
    random.shuffle(days)  # type: ignore[attr-defined]
    shuffled = [step for d in days for step in by_day[d]]
    first, second = (link_stretch(a_stretch(), k, as_of=AS_OF) for k in (known, shuffled))
    assert first == second
