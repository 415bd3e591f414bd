"""One thing to work on: what decides it, what it is never, and that the coach has the last word."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.technique.build import SWIMMER, a_stretch, a_verdict, day, steps
from tests.technique.test_rule import STEPS
from tracker.model.catalogue import catalogue
from tracker.model.event import Event
from tracker.model.event_kinds import EventKind
from tracker.model.fault import FaultStep
from tracker.model.swimmer import Choice
from tracker.model.work import Work
from tracker.settings import DEFAULT, Settings
from tracker.technique.due import Due, due
from tracker.technique.fault_timeline import CLOSED, timelines
from tracker.technique.link_rule import link_stretch
from tracker.technique.next_step import LeftForNow, NextStep, NextStepInput, Proposal, next_step

AS_OF = day("06-30")
CATALOGUE = {entry.slug: entry for entry in catalogue()}
HEALTH = replace(DEFAULT, health=True)


def known_of(
    known: list[FaultStep], *, plateau: bool = True, settings: Settings = DEFAULT, **more: Any
) -> NextStepInput:
    verdict = a_verdict("plateau" if plateau else "gaining")
    link = link_stretch(a_stretch(), known, as_of=AS_OF) if plateau else None
    events = more.get("events", ())
    choices = more.get("choices", ())
    when = due([day("06-28")], verdict, known, [], events, choices, as_of=AS_OF, settings=settings)
    return NextStepInput(verdict, link, timelines(known, AS_OF), when, CATALOGUE, **more)


def proposed(*lines: str, plateau: bool = True, health: bool = False, **more: Any) -> NextStep:
    settings = HEALTH if health else DEFAULT
    found = known_of(steps(*lines), plateau=plateau, settings=settings, **more)
    return next_step(found, as_of=AS_OF, settings=settings)


def codes(step: NextStep) -> set[str]:
    return {reason.code for reason in step.first.reasons} if step.first else set()


def why_left(step: NextStep) -> dict[str, str]:
    return {left.fault: left.reason.code for left in step.leave}


def a_work(
    text: str, fault: str = "", begins: str = "05-01", ends: str | None = None, kind: str = "cue"
) -> Work:
    to_date = day(ends) if ends else None
    fields = {"from_date": day(begins), "to_date": to_date, "swimmer": SWIMMER, "kind": kind}
    return Work.model_validate({**fields, "text": text, "fault": fault})


def an_event(kind: EventKind, begins: str, ends: str | None = None) -> Event:
    return Event(from_date=day(begins), to_date=day(ends) if ends else None, swimmer=SWIMMER, kind=kind)


def test_the_linked_fault_comes_first_and_says_why() -> None:
    """Left when the line went flat, seen just before: three points more than an older one as grave."""
    step = proposed("02-10 open pull-crossing 2 Mika", "2025-06-01 open body-flat 2 Mika")
    assert step.first is not None
    assert step.first.fault == "pull-crossing"
    assert {"linked", "severity"} <= codes(step)
    assert step.first.drill == "fist"
    assert step.first.cue == "Straight back, along the side of the body."
    assert why_left(step) == {"body-flat": "one_at_a_time"}


def test_two_at_most_and_the_second_quick_and_in_another_area() -> None:
    step = proposed(
        "02-10 open pull-crossing 3",
        "02-10 open exit-early 3",
        "02-10 open breath-late 1",
        "02-10 open entry-crossing 1",
    )
    assert step.first is not None
    assert step.second is not None
    assert (step.first.fault, step.second.fault) == ("pull-crossing", "breath-late")
    assert set(why_left(step)) == {"exit-early", "entry-crossing"}


def test_parked_stays_parked_with_its_reason() -> None:
    step = proposed("02-10 open kick-wide 3", "03-01 parked kick-wide: race in May")
    assert step.first is None
    assert step.leave[0].reason.why == "race in May"
    assert [reason.code for reason in step.reasons] == ["all_left"]


def test_stiff_ankles_are_left_as_a_rule_unless_already_in_work() -> None:
    assert why_left(proposed("02-10 open ankles-stiff 3")) == {"ankles-stiff": "as_a_rule"}
    step = proposed("02-10 open ankles-stiff 3", "06-01 work ankles-stiff")
    assert step.first is not None
    assert step.first.fault == "ankles-stiff"


def test_what_is_in_work_goes_on_with_its_cue_and_drill() -> None:
    """Four weeks in work: an open fault as grave does not push it aside."""
    step = proposed(
        "05-01 open breath-late 2",
        "06-02 work breath-late",
        "05-01 open breath-lift 2",
        plateau=False,
        work=[
            a_work("mouth out with the hand", "breath-late"),
            a_work("side kick", "breath-late", kind="drill"),
        ],
    )
    assert step.first is not None
    assert (step.first.fault, step.first.cue, step.first.drill) == (
        "breath-late",
        "mouth out with the hand",
        "side kick",
    )
    assert [reason.code for reason in step.reasons] == ["going_well"]


def test_twelve_weeks_in_work_without_a_correction_make_room_for_another() -> None:
    step = proposed(
        "2025-12-01 open breath-late 2",
        "03-01 work breath-late",
        "2025-12-01 open breath-lift 2",
        plateau=False,
    )
    assert step.first is not None
    assert step.first.fault == "breath-lift"


def test_a_worn_cue_and_a_tried_drill_are_followed_by_fresh_ones() -> None:
    """One cue for over twelve weeks, the first drill tried and stopped: the catalogue's next ones come."""
    step = proposed(
        "02-10 open pull-crossing 2",
        work=[
            a_work("Straight back, along the side of the body.", "pull-crossing", "02-15"),
            a_work("fist", "pull-crossing", "02-15", "03-30", kind="drill"),
        ],
    )
    assert step.first is not None
    assert (step.first.cue, step.first.drill) == ("Flat wrist to the hip.", "pull with buoy")
    assert "tried" in codes(step)


def test_a_cue_in_use_that_can_bring_the_fault_about_is_to_stop() -> None:
    step = proposed(
        "02-10 open body-over-rotated 2", work=[a_work("roll more, a rib in the air", "body-flat", "01-05")]
    )
    assert step.first is not None
    assert [ending.text for ending in step.first.stop] == ["roll more, a rib in the air"]


def test_no_cue_is_proposed_that_can_bring_about_another_open_fault() -> None:
    """ "Look down at the line" against a high head can press a head down that is also noted as deep."""
    alone = proposed("02-10 open head-high 2")
    both = proposed("02-10 open head-high 2", "02-10 open head-deep 1")
    assert alone.first is not None
    assert both.first is not None
    assert alone.first.cue.startswith("Look down")
    assert both.first.cue == "The collar stays open at the back."


def test_nothing_slow_is_begun_four_weeks_before_a_race() -> None:
    race = [an_event("race", "07-20")]
    step = proposed("02-10 open pull-crossing 3", "2025-06-01 open breath-late 1", events=race)
    assert step.first is not None
    assert step.first.fault == "breath-late"
    assert why_left(step) == {"pull-crossing": "race_soon"}
    later = proposed("02-10 open pull-crossing 3", events=[an_event("race", "07-29")])
    assert later.first is not None


def test_a_sore_shoulder_means_no_paddles_no_test_no_second_and_a_professional() -> None:
    sore = [an_event("injury", "06-01")]
    lines = ("02-10 open pull-crossing 3", "02-10 open breath-late 1")
    step = proposed(*lines, events=sore, health=True)
    assert step.due.test is None
    assert step.second is None
    assert "see-a-professional" in step.cautions
    assert "maximal-test" not in step.cautions
    tried = [a_work("fist", "pull-crossing", "02-15", "03-30", kind="drill")]
    well = proposed(*lines, work=tried)
    hurt = proposed(*lines, work=tried, events=sore, health=True)
    assert [one.first.drill for one in (well, hurt) if one.first] == ["pull with buoy", "fist"]


def test_paddles_in_use_are_not_proposed_on_with_a_sore_shoulder() -> None:
    work = [a_work("pull with paddles", "pull-crossing", kind="drill")]
    step = proposed(
        "02-10 open pull-crossing 3", work=work, events=[an_event("injury", "06-01")], health=True
    )
    assert step.first is not None
    assert step.first.drill == "fist"


@pytest.mark.parametrize(
    ("begins", "ends", "may_test"),
    [("06-10", "06-15", True), ("06-10", "06-16", False), ("06-10", None, False)],
)
def test_after_an_illness_no_maximal_test_for_two_weeks(
    begins: str, ends: str | None, may_test: bool
) -> None:
    step = proposed("02-10 open breath-late 2", events=[an_event("illness", begins, ends)], health=True)
    assert (step.due.test is not None) is may_test
    assert ("after-illness" in step.cautions) is not may_test


def test_health_that_is_switched_off_changes_nothing() -> None:
    lines = "02-10 open pull-crossing 2"
    assert proposed(lines, events=[an_event("injury", "06-01")]) == proposed(lines)


def a_choice(kind: str, fault: str, date: str = "06-15", **more: str) -> Choice:
    fields = {"date": day(date), "swimmer": SWIMMER, "kind": kind, "fault": fault}
    return Choice.model_validate({**fields, **more})


def test_the_coach_has_the_last_word_with_a_reason() -> None:
    choice = a_choice("choose", "kick-wide", reason="race in May", by="Teo")
    step = proposed("02-10 open pull-crossing 3", "02-10 open kick-wide 1", choices=[choice])
    assert step.first is not None
    assert step.first.fault == "kick-wide"
    assert step.first.reasons[0].code == "chosen"
    assert step.first.reasons[0].why == "race in May"
    assert why_left(step) == {"pull-crossing": "one_at_a_time"}


def test_a_choice_may_take_up_a_parked_fault_and_ends_with_its_correction() -> None:
    choice = a_choice("choose", "kick-wide", "05-01")
    lines = ("01-10 open kick-wide 1", "02-01 parked kick-wide: later")
    step = proposed(*lines, choices=[choice])
    assert step.first is not None
    assert step.first.fault == "kick-wide"
    over = proposed(
        *lines,
        "05-20 corrected kick-wide Mika",
        "06-10 back kick-wide",
        "02-10 open pull-crossing 3",
        choices=[choice],
    )
    assert over.first is not None
    assert over.first.fault == "pull-crossing"


@pytest.mark.parametrize(
    ("later", "stands"),
    [
        ("05-01 parked kick-wide: race", False),
        ("06-10 parked kick-wide: race", False),
        ("06-10 corrected kick-wide Mika", False),
        ("06-10 seen kick-wide 1 Mika", True),
        ("06-10 work kick-wide", True),
    ],
)
@pytest.mark.parametrize("before", ["01-10 open kick-wide 1", "02-01 parked kick-wide: later"])
def test_a_choice_ends_when_its_fault_is_parked_or_corrected_later(
    before: str, later: str, stands: bool
) -> None:
    """Whether it was parked before or not: parking it anew is a later word than the choice."""
    choice = a_choice("choose", "kick-wide", "05-01", reason="try it")
    step = proposed("01-10 open kick-wide 1", before, later, choices=[choice])
    assert (step.first is not None and step.first.fault == "kick-wide") is stands
    assert why_left(step) == ({"kick-wide": "parked"} if "parked" in later else {})
    assert "chosen" in codes(step) or not stands


def test_a_choice_made_on_the_day_of_the_parking_stands_where_it_says_so() -> None:
    lines = ("01-10 open kick-wide 1", "05-01 parked kick-wide: later")
    step = proposed(*lines, choices=[a_choice("choose", "kick-wide", "05-01", value="parked")])
    assert step.first is not None
    assert step.first.fault == "kick-wide"


def test_parking_one_side_leaves_a_choice_of_either_to_the_other() -> None:
    lines = ("01-10 open kick-wide/left 3", "01-10 open kick-wide/right 1", "06-10 parked kick-wide/left")
    step = proposed(*lines, choices=[a_choice("choose", "kick-wide", "05-01")])
    assert step.first is not None
    assert step.first.side == "right"
    assert why_left(step) == {"kick-wide": "parked"}


def test_of_two_choices_of_one_day_the_later_holds() -> None:
    choices = [a_choice("choose", fault) for fault in ("kick-wide", "breath-late")]
    step = proposed("02-10 open kick-wide 1", "02-10 open breath-late 1", choices=choices)
    assert step.first is not None
    assert step.first.fault == "breath-late"


@pytest.mark.parametrize(
    ("made", "reason", "race", "until"),
    [
        ("04-08", "she asked for it", None, "07-01"),
        ("04-07", "she asked for it", None, "06-30"),
        ("04-06", "she asked for it", None, "06-29"),
        ("06-01", "Race first", "06-29", "06-29"),
        ("06-01", "Race first", "06-30", "06-30"),
        ("06-01", "two races", "07-05", "07-05"),
        ("06-01", "she asked for it", "06-29", "08-24"),
        ("06-01", "braces herself", "06-29", "08-24"),
        ("06-01", "race in May", "05-31", "08-24"),
    ],
)
def test_a_choice_ends_with_its_race_or_after_twelve_weeks_and_is_asked_for_again(
    made: str, reason: str, race: str | None, until: str
) -> None:
    """Choices of a coach are kept; they do not rule for ever over what is linked and grave."""
    choice = a_choice("choose", "kick-wide", made, reason=reason, by="Teo")
    events = [an_event("race", race)] if race else []
    step = proposed("02-10 open catch-deep 3", "02-10 open kick-wide 1", choices=[choice], events=events)
    rules = day(until) >= AS_OF
    assert step.first is not None
    assert step.first.fault == ("kick-wide" if rules else "catch-deep")
    assert (step.due.over is None) is rules
    if rules:
        assert step.first.reasons[0].until == day(until)
    else:
        assert step.due.over is not None
        assert (step.due.over.fault, step.due.over.until) == ("kick-wide", day(until))


def test_a_choice_that_ended_is_no_longer_asked_for_once_decided() -> None:
    """Chosen again or otherwise, parked or corrected: each is a decision."""
    old = a_choice("choose", "kick-wide", "03-01", reason="try it")
    lines = ("02-10 open catch-deep 3", "02-10 open kick-wide 1")
    assert proposed(*lines, choices=[old]).due.over is not None
    for fault in ("kick-wide", "catch-deep"):
        again = a_choice("choose", fault, "06-29", reason="still")
        assert proposed(*lines, choices=[old, again]).due.over is None
    for step in ("06-01 parked kick-wide: later", "06-01 corrected kick-wide Mika"):
        assert proposed(*lines, step, choices=[old]).due.over is None


def test_who_is_drawn_for_later_waits_for_the_twelve_weeks() -> None:
    lines = "02-10 open pull-crossing 2"
    later = proposed(lines, choices=[a_choice("stagger", "pull-crossing", "06-15", value="later")])
    assert later.first is None
    assert later.leave[0].reason.starts == day("06-15") + dt.timedelta(weeks=12)
    now = proposed(lines, choices=[a_choice("stagger", "pull-crossing", "06-15", value="now")])
    assert now.first is not None
    assert "drawn_now" in codes(now)
    over = proposed(lines, choices=[a_choice("stagger", "pull-crossing", "04-01", value="later")])
    assert over.first is not None


def test_a_draw_puts_nothing_off_that_is_as_bad_as_can_be() -> None:
    """A linked fault of severity 3 was once put off by a draw that nobody had asked about."""
    later = [a_choice("stagger", "pull-crossing", "06-15", value="later")]
    step = proposed("02-10 open pull-crossing 3", choices=later)
    assert step.first is not None
    assert step.first.fault == "pull-crossing"
    assert "drawn_later" not in codes(step)
    assert step.leave == ()
    one_side = proposed("02-10 open pull-crossing/left 2", "02-10 open pull-crossing/right 3", choices=later)
    assert one_side.first is not None


def test_a_plateau_with_nothing_on_record_wants_a_review_first() -> None:
    step = proposed()
    assert (step.first, step.second, step.leave) == (None, None, ())
    assert [reason.code for reason in step.reasons] == ["review_first"]
    assert [reason.code for reason in proposed(plateau=False).reasons] == ["no_look_yet"]
    looked = proposed(plateau=False, looked=True)
    assert [reason.code for reason in looked.reasons] == ["nothing_on_record"]


def test_tests_and_looks_are_dated() -> None:
    """As they are everywhere else: an open fault alone asks for no look, a plateau does."""
    step = proposed("02-10 open pull-crossing 2", plateau=False)
    assert step.due == Due(day("07-05"), None)
    assert proposed("02-10 open pull-crossing 2").due == Due(day("07-05"), day("03-10"), unseen=True)
    assert "maximal-test" in step.cautions


WORKS = st.lists(
    st.builds(
        Work,
        from_date=st.dates(dt.date(2026, 2, 20), dt.date(2026, 6, 1)),
        to_date=st.none(),
        swimmer=st.just(SWIMMER),
        kind=st.sampled_from(["cue", "drill"]),
        fault=st.sampled_from(["breath-late", "pull-crossing"]),
        text=st.sampled_from(["wait in front", "sweep in", "fist", "paddle feel"]),
    ),
    max_size=4,
)


@given(STEPS, WORKS, st.booleans())
def test_every_uncorrected_fault_is_either_proposed_or_left_with_a_reason(
    known: list[FaultStep], work: list[Work], sore: bool
) -> None:
    """Nothing is forgotten, nothing corrected is proposed, and a sore shoulder never gets paddles."""
    events = [an_event("injury", "06-01")] if sore else []
    step = next_step(known_of(known, settings=HEALTH, work=work, events=events), as_of=AS_OF, settings=HEALTH)
    uncorrected = {(x.fault, x.side) for x in timelines(known, AS_OF) if x.moments[-1].state not in CLOSED}
    taken = [proposal for proposal in (step.first, step.second) if proposal]
    lines: list[Proposal | LeftForNow] = [*taken, *step.leave]
    mentioned = [(x.fault, side) for x in lines for side in (x.side, *(one.side for one in x.others))]
    assert sorted(mentioned) == sorted(uncorrected)
    assert all(proposal.state != "parked" for proposal in taken)
    if sore:
        assert not any("paddle" in proposal.drill for proposal in taken)
        assert step.due.test is None
        assert step.due.held
    assert step.first is not None or step.reasons
