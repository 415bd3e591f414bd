"""Seasons as a coach would tell them, with the link, its evidence and the next step that follow.

All stand on 30 June 2026. Unless said otherwise the line went flat about 1 March (15 February to
15 March) and still is.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field, replace

import numpy as np
import pytest

from tests.technique.build import SWIMMER, a_stretch, a_verdict, day, steps
from tracker.engine.verdict.verdict import FlatStretch
from tracker.model.catalogue import catalogue
from tracker.model.event import Event, Load
from tracker.model.swimmer import Choice
from tracker.model.vocabularies import State
from tracker.model.work import Work
from tracker.settings import DEFAULT
from tracker.technique.confounders import OnsetContext, SwimConditions, confounders_near
from tracker.technique.due import due
from tracker.technique.effect import Effect, Estimate, Spread
from tracker.technique.evidence import FaultStatistics, OwnEvidence, graded
from tracker.technique.fault_timeline import state_on, timelines
from tracker.technique.link import Evidence, How, Link
from tracker.technique.link_grounds import Provoked, StrokesMoved
from tracker.technique.link_rule import link_stretch
from tracker.technique.next_step import NextStep, NextStepInput, next_step
from tracker.technique.roster_odds import Odds
from tracker.technique.stroke_reading import StrokeSample, read_strokes

AS_OF = day("06-30")
CATALOGUE = {entry.slug: entry for entry in catalogue()}


@dataclass(frozen=True)
class Story:
    """What is on record; `lines` are the faults' steps."""

    lines: tuple[str, ...] = ()
    stretch: FlatStretch = field(default_factory=a_stretch)
    events: tuple[Event, ...] = ()
    load: tuple[Load, ...] = ()
    swims: tuple[SwimConditions, ...] = ()
    strokes: tuple[StrokeSample, ...] = ()
    work: tuple[Work, ...] = ()
    choices: tuple[Choice, ...] = ()
    roster: FaultStatistics = field(default_factory=FaultStatistics)
    health: bool = False

    def result(self) -> tuple[Link, NextStep]:
        """Return the graded link and what is proposed."""
        settings = replace(DEFAULT, health=self.health)
        known = steps(*self.lines)
        lived = timelines(known, AS_OF)
        around = OnsetContext(self.events, self.swims, self.load)
        confounders = confounders_near(self.stretch, around, as_of=AS_OF, settings=settings)
        link = link_stretch(self.stretch, known, as_of=AS_OF, confounders=confounders)
        own = OwnEvidence(lived, self.work, read_strokes(self.stretch, self.strokes))
        link = graded(link, self.stretch, CATALOGUE.get(link.fault or ""), own, self.roster)
        verdict = a_verdict("plateau" if self.stretch.current else "gaining")
        when = due([day("06-28")], verdict, known, [], self.events, as_of=AS_OF, settings=settings)
        present = link if self.stretch.current else None
        everything = NextStepInput(
            verdict, present, lived, when, CATALOGUE, self.work, self.events, self.choices
        )
        return link, next_step(everything, as_of=AS_OF, settings=settings)


def check(
    story: Story,
    *,
    how: How,
    fault: str | None,
    state: State | None,
    evidence: Evidence,
    work_on: str | None,
) -> tuple[Link, NextStep]:
    link, step = story.result()
    assert (link.how, link.fault, link.state, link.evidence) == (how, fault, state, evidence)
    assert (step.first.fault if step.first else None) == work_on
    return link, step


def an_event(kind: str, begins: str, ends: str | None = None, note: str = "") -> Event:
    fields = {"from_date": day(begins), "to_date": day(ends) if ends else None, "swimmer": SWIMMER}
    return Event.model_validate({**fields, "kind": kind, "note": note})


def a_cue(text: str, begins: str, ends: str | None = None, fault: str = "") -> Work:
    fields = {"from_date": day(begins), "to_date": day(ends) if ends else None, "swimmer": SWIMMER}
    return Work.model_validate({**fields, "kind": "cue", "fault": fault, "text": text})


def test_seen_in_winter_and_left_until_now() -> None:
    """The late breath was seen on 30 January and nobody worked on it. It was open when the line went
    flat, a month later, within the eight weeks: it coincides. It is the thing to work on."""
    link, step = check(
        Story(("01-30 open breath-late/left 2 Wren",)),
        how="before",
        fault="breath-late",
        state="open",
        evidence="coincides in time",
        work_on="breath-late",
    )
    assert (link.side, link.days_open, step.leave) == ("left", 151, ())


def test_corrected_just_before_the_onset() -> None:
    """The kick from the knees was corrected on 20 February, before the median onset: it was no longer
    uncorrected, so it cannot be what was left. Nothing else is on record: a review comes first."""
    link, step = check(
        Story(("2025-11-01 open kick-knees 2 Wren", "02-20 corrected kick-knees Wren")),
        how="none",
        fault=None,
        state=None,
        evidence="none",
        work_on=None,
    )
    assert [reason.code for reason in step.reasons] == ["review_first"]
    assert link.said_corrected == ()


def test_corrected_halfway_through_the_stretch() -> None:
    """Corrected on 1 May, two months into the stretch: on the day it began the fault was still left, and
    what happened later does not change that. But there is nothing to work on any more."""
    link, _ = check(
        Story(("02-01 open kick-knees 2 Wren", "04-01 work kick-knees", "05-01 corrected kick-knees Wren")),
        how="before",
        fault="kick-knees",
        state="open",
        evidence="coincides in time",
        work_on=None,
    )
    assert link.state_now == "corrected"


def test_opened_inside_the_onset_interval() -> None:
    """Opened on 10 March, nine days after the median but before the interval's end of 15 March: the line
    may well have bent after that day, so it is a candidate, in its state of that day."""
    check(
        Story(("03-10 open kick-wide 1 Wren",)),
        how="before",
        fault="kick-wide",
        state="open",
        evidence="coincides in time",
        work_on="kick-wide",
    )


def test_parked_on_purpose_and_nothing_else() -> None:
    """The hard kick was left on purpose. With no other candidate it is named, as parked, and it stays
    left: the coach had a reason. A look is due all the same."""
    _, step = check(
        Story(
            (
                "2025-12-01 open kick-hard 1 Wren",
                "01-20 parked kick-hard: short races in May",
            )
        ),
        how="before",
        fault="kick-hard",
        state="parked",
        evidence="on record",
        work_on=None,
    )
    assert step.leave[0].reason.why == "short races in May"
    assert step.due.review == day("2025-12-29")


def test_parked_beside_an_older_open_one() -> None:
    """Parked in February, but an older fault was open too: the open one is linked, the parked one listed."""
    link, _ = check(
        Story(
            (
                "2025-06-01 open body-flat 2 Wren",
                "01-20 open ankles-stiff 1 Wren",
                "02-01 parked ankles-stiff: slow to change",
            )
        ),
        how="before",
        fault="body-flat",
        state="open",
        evidence="on record",
        work_on="body-flat",
    )
    assert [(other.fault, other.state) for other in link.also] == [("ankles-stiff", "parked")]


def test_corrected_in_summer_and_back_in_winter() -> None:
    """Its second coming, on 20 February, is what counts: it was back when the line went flat."""
    link, _ = check(
        Story(
            (
                "2025-03-25 open catch-pressing 2 Teo",
                "2025-06-24 corrected catch-pressing Teo",
                "02-20 back catch-pressing 2 Teo",
            )
        ),
        how="before",
        fault="catch-pressing",
        state="back",
        evidence="coincides in time",
        work_on="catch-pressing",
    )
    assert link.opened == day("02-20")


def test_two_on_the_same_day() -> None:
    """Both opened on 14 February; the graver one is linked. It is also what to work on; the other is
    neither quick nor in work, so it waits."""
    link, step = check(
        Story(("02-14 open kick-wide 1 Teo", "02-14 open exit-early/right 3 Teo")),
        how="before",
        fault="exit-early",
        state="open",
        evidence="coincides in time",
        work_on="exit-early",
    )
    assert [other.fault for other in link.also] == ["kick-wide"]
    assert [left.reason.code for left in step.leave] == ["one_at_a_time"]


def test_two_on_the_same_day_and_equally_grave() -> None:
    """Nothing tells them apart but the catalogue's order: breathing stands before the kick."""
    check(
        Story(("02-14 open kick-wide 2 Teo", "02-14 open breath-late 2 Teo")),
        how="before",
        fault="breath-late",
        state="open",
        evidence="coincides in time",
        work_on="breath-late",
    )


def test_only_seen_after_it_began() -> None:
    """Looked at because of the plateau, on 14 April: low legs. They may have been there before, but
    nobody saw them: "seen after it began", on record and no more. They are worked on first, before the
    graver wide kick: first seen, and something is known of what low legs cost."""
    check(
        Story(("04-14 open legs-low 2 Teo", "05-20 open kick-wide 3 Teo")),
        how="during",
        fault="legs-low",
        state="open",
        evidence="on record",
        work_on="legs-low",
    )


def test_another_reviewer_scores_the_same_fault_graver() -> None:
    """Maud said 1, Teo said 3 a week before the onset. Two people's severities are two scales: no dose."""
    link, _ = check(
        Story(("2025-12-01 open exit-early 1 Maud", "02-20 seen exit-early 3 Teo")),
        how="before",
        fault="exit-early",
        state="open",
        evidence="coincides in time",
        work_on="exit-early",
    )
    assert link.grounds == ()


def test_one_reviewer_sees_it_get_graver_before_the_onset() -> None:
    """The same pair of looks by one reviewer is a dose: graver before the line went flat."""
    link, _ = Story(("2025-12-01 open exit-early 1 Teo", "02-20 seen exit-early 3 Teo")).result()
    assert [ground.code for ground in link.grounds] == ["severity_rose"]


def test_said_to_be_corrected_by_the_swimmer() -> None:
    """The reach is no longer short, says the swimmer; nobody looked. It counts as corrected and is listed;
    the older kick from the knees is what was left."""
    link, _ = check(
        Story(
            (
                "2025-05-21 open kick-knees 2 Maud",
                "2025-07-16 open reach-short/left 2 Maud",
                "2025-08-27 corrected reach-short/left",
            )
        ),
        how="before",
        fault="kick-knees",
        state="open",
        evidence="on record",
        work_on="kick-knees",
    )
    assert [(said.fault, said.state) for said in link.said_corrected] == [
        ("reach-short", "said to be corrected")
    ]


def test_hearsay_refuted_by_a_look() -> None:
    """Said to be gone on 10 February, seen again on 25 February: a fault that is seen is back, before
    the onset interval ends."""
    check(
        Story(
            ("01-05 open breath-late 2 Maud", "02-10 corrected breath-late", "02-25 seen breath-late 2 Maud")
        ),
        how="before",
        fault="breath-late",
        state="back",
        evidence="coincides in time",
        work_on="breath-late",
    )


def test_provoked_by_a_cue() -> None:
    """ "Roll more" cured the flat body and made it roll too far, opened while the cue was in
    use. The cue is named beside the link, and to stop it is part of the next step."""
    link, step = check(
        Story(
            (
                "2025-12-01 open body-flat 2 Teo",
                "02-10 corrected body-flat Teo",
                "02-10 open body-over-rotated 2 Teo",
            ),
            work=(a_cue("roll more, a rib in the air", "2025-12-10", fault="body-flat"),),
        ),
        how="before",
        fault="body-over-rotated",
        state="open",
        evidence="coincides in time",
        work_on="body-over-rotated",
    )
    assert [g.cue for g in link.grounds if isinstance(g, Provoked)] == ["roll more, a rib in the air"]
    assert step.first is not None
    assert [ending.text for ending in step.first.stop] == ["roll more, a rib in the air"]


STRONG = FaultStatistics(
    odds=Odds("breath-late", 14, 22, 9, 30, ratio=2.2, low=1.1, high=4.4, low80=1.3),
    correction=Effect(
        "correction", "breath-late", "", 12, 10, 24, gain=Estimate(0.6, 0.2, 1.0, 0.3, 0.9),
        spread=Spread(0.2, 0.0, 0.5), lead=Estimate(0.0, -0.4, 0.4, -0.3, 0.3),
    ),
)  # fmt: skip


def test_the_roster_bears_it_out() -> None:
    """In this roster swimmers with it are flat more often, and those corrected gained against like ones,
    both beyond 90 %; no confounder stands near the onset."""
    check(
        Story(("01-30 open breath-late 2 Wren",), roster=STRONG),
        how="before",
        fault="breath-late",
        state="open",
        evidence="supported by roster comparison",
        work_on="breath-late",
    )


def test_a_lay_off_stands_beside_it() -> None:
    """The same, but three weeks off in February: the roster can't rule that out here, so the grade stays at
    "consistent with" and the lay-off stands beside the link."""
    link, _ = check(
        Story(
            ("01-30 open breath-late 2 Wren",),
            events=(an_event("layoff", "02-05", "02-25", "moved house"),),
            roster=STRONG,
        ),
        how="before",
        fault="breath-late",
        state="open",
        evidence="consistent with",
        work_on="breath-late",
    )
    assert [confounder.what for confounder in link.confounders] == ["layoff"]


def test_swam_a_third_less_from_march_on() -> None:
    """12 km a week until February, 8 km from March on: "swam less" is the likeliest confounder, so first."""
    start = day("01-19")
    load = tuple(
        Load(week=start + dt.timedelta(weeks=n), swimmer=SWIMMER, metres=12_000.0 if n < 6 else 8_000.0)
        for n in range(14)
    )
    link, _ = check(
        Story(("01-30 open breath-late 2 Wren",), load=load, events=(an_event("race", "03-08"),)),
        how="before",
        fault="breath-late",
        state="open",
        evidence="coincides in time",
        work_on="breath-late",
    )
    assert [(confounder.what, confounder.detail) for confounder in link.confounders] == [
        ("less swum", "33 %"),
        ("race", ""),
    ]


def test_moved_to_a_longer_pool_at_the_onset() -> None:
    """From the 25 m to the 50 m pool in the week of the onset: named, whatever the engine made of it."""
    swims = tuple(
        SwimConditions(day("2025-12-07") + dt.timedelta(weeks=n), "t400", "SCM" if n < 12 else "LCM", "none")
        for n in range(28)
    )
    link, _ = Story(("01-30 open breath-late 2 Wren",), swims=swims).result()
    assert [(confounder.what, confounder.detail) for confounder in link.confounders] == [
        ("pool", "SCM to LCM")
    ]


def test_rate_rises_while_pace_stands_still() -> None:
    """Rate up 6 % over the stretch at the same pace: each stroke takes less. Effort hides a slipping
    stroke, a second witness beside the hand that leaves early."""
    values = 30 * np.exp(np.linspace(0, 0.06, 17))
    strokes = tuple(
        StrokeSample(day("03-01") + dt.timedelta(weeks=n), ("t400", "SCM", "none"), float(value), None)
        for n, value in enumerate(values)
    )
    link, _ = Story(("02-14 open exit-early 3 Teo",), strokes=strokes).result()
    assert [g.witness for g in link.grounds if isinstance(g, StrokesMoved)] == ["effort rising"]


def test_long_on_record_and_not_near_the_onset() -> None:
    """Open since the summer before, never looked at since: it was left, but nothing ties it to March."""
    check(
        Story(("2025-06-18 open body-flat 2 Maud",)),
        how="before",
        fault="body-flat",
        state="open",
        evidence="on record",
        work_on="body-flat",
    )


def test_flat_since_before_the_record() -> None:
    """The record begins on the plateau. A fault opened a week later may be as old as the plateau: it is
    named, but the onset lies at an unknown day, so no coincidence in time can be claimed."""
    check(
        Story(("03-08 open legs-low 2 Teo",), stretch=a_stretch("03-01", low=None, high="03-15")),
        how="before",
        fault="legs-low",
        state="open",
        evidence="on record",
        work_on="legs-low",
    )


def test_a_stretch_that_ended_with_the_correction() -> None:
    """Flat from May to November 2025 while the hand crossed, corrected on 8 December, gaining since:
    the past stretch keeps its link as it was, and there is nothing left to do."""
    known = ("2025-05-13 open entry-crossing/left 3 Maud", "2025-10-27 work entry-crossing/left",
             "2025-12-08 corrected entry-crossing/left Maud")  # fmt: skip
    past = a_stretch("2025-05-20", "2025-05-01", "2025-06-10", "2025-11-30", current=False)
    _, step = check(
        Story(known, stretch=past),
        how="before",
        fault="entry-crossing",
        state="open",
        evidence="coincides in time",
        work_on=None,
    )
    assert [reason.code for reason in step.reasons] == ["nothing_on_record"]


def test_sides_are_two_faults() -> None:
    """The breath to the left was corrected in February, the right one not: the right one is linked."""
    link, _ = check(
        Story(
            (
                "01-20 open breath-late/left 3 Wren",
                "01-20 open breath-late/right 1 Wren",
                "02-12 corrected breath-late/left Wren",
            )
        ),
        how="before",
        fault="breath-late",
        state="open",
        evidence="coincides in time",
        work_on="breath-late",
    )
    assert link.side == "right"


def test_the_coach_chooses_otherwise_before_a_race() -> None:
    """The crossing pull is linked and grave, but the race is in July: the coach takes the wide kick, with the
    reason kept, and the pull waits because nothing slow is begun four weeks before a race."""
    choice = Choice(
        date=day("06-20"), swimmer=SWIMMER, kind="choose", fault="kick-wide", reason="race in July", by="Teo"
    )
    _, step = check(
        Story(
            ("02-14 open kick-wide 1 Teo", "02-14 open pull-crossing/right 3 Teo"),
            events=(an_event("race", "07-19"),),
            choices=(choice,),
        ),
        how="before",
        fault="pull-crossing",
        state="open",
        evidence="coincides in time",
        work_on="kick-wide",
    )
    assert [left.reason.code for left in step.leave] == ["race_soon"]


def test_a_sore_shoulder_logged_since_june() -> None:
    """Health is switched on and an injury logged: the link stands as it was, but no test, no paddles, no
    second aim, and a professional first."""
    _, step = check(
        Story(
            ("01-30 open pull-crossing 2 Wren", "01-30 open entry-crossing 1 Wren"),
            events=(an_event("injury", "06-05"),),
            health=True,
        ),
        how="before",
        fault="pull-crossing",
        state="open",
        evidence="coincides in time",
        work_on="pull-crossing",
    )
    assert step.due.test is None
    assert step.second is None
    assert step.cautions[0] == "see-a-professional"


def test_a_draw_by_lot_speaks_loudest() -> None:
    """Of the swimmers drawn to be corrected now or in twelve weeks, the first gained more, beyond 90 %: the
    only grade above a comparison. The lay-off beside it does not undo a draw made elsewhere."""
    drawn = Effect(
        "draw",
        "breath-late",
        "",
        24,
        12,
        12,
        gain=Estimate(0.8, 0.3, 1.3, 0.4, 1.2),
        spread=Spread(0.1, 0.0, 0.3),
    )
    check(
        Story(
            ("01-30 open breath-late 2 Wren",),
            roster=FaultStatistics(drawn=drawn),
            events=(an_event("layoff", "02-05", "02-25"),),
        ),
        how="before",
        fault="breath-late",
        state="open",
        evidence="supported by randomised timing",
        work_on="breath-late",
    )


@pytest.mark.parametrize(("on", "state"), [("02-28", "open"), ("04-15", "in work"), ("06-30", "corrected")])
def test_the_state_on_any_past_day_can_be_told(on: str, state: State) -> None:
    """Opened in February, in work from April, corrected in May: each day has its own answer."""
    known = steps("02-01 open kick-knees 2 Wren", "04-01 work kick-knees", "05-01 corrected kick-knees Wren")
    assert state_on(known, day(on)) == state
