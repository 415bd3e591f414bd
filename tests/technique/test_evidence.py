"""The grade of a link: what raises it, what holds it down, and the numbers beside it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.technique.build import SWIMMER, a_stretch, day, steps
from tracker.model.catalogue import fault
from tracker.model.event_kinds import EventKind
from tracker.model.work import Work
from tracker.technique.effect import Effect, Estimate, Spread
from tracker.technique.evidence import FaultStatistics, OwnEvidence, grade, graded
from tracker.technique.fault_timeline import timelines
from tracker.technique.link import Confounder, Evidence, Link
from tracker.technique.link_grounds import (
    CorrectionEffect,
    CorrectionUnknown,
    Provoked,
    RosterOdds,
    SeverityChanged,
    StrokesMoved,
)
from tracker.technique.link_rule import link_stretch
from tracker.technique.roster_odds import Odds
from tracker.technique.stroke_reading import StrokeReading

AS_OF = day("06-30")
KNOWN = steps("2025-12-01 open breath-late/left 1 Mika", "02-10 seen breath-late/left 3 Mika")
LINK = link_stretch(a_stretch(), KNOWN, as_of=AS_OF)

WIDE = Odds("breath-late", 9, 20, 9, 30, ratio=1.4, low=0.9, high=2.2, low80=0.98)
AT_80 = replace(WIDE, low=0.95, low80=1.05)
AT_90 = replace(WIDE, low=1.1, low80=1.2)


def an_effect(low: float, low80: float, *, kind: str = "correction", lead: float = 0.0) -> Effect:
    gain = Estimate(0.5, low, 1.0 - low, low80, 1.0 - low80)
    before = Estimate(lead, lead - 0.1, lead + 0.1, lead - 0.05, lead + 0.05)
    return Effect(kind, "breath-late", "", 20, 15, 40, gain=gain, spread=Spread(0.2, 0.0, 0.5), lead=before)


HELPED_80 = an_effect(-0.1, 0.05)
HELPED_90 = an_effect(0.1, 0.2)
UNLIKE = an_effect(0.1, 0.2, lead=0.5)
DRAWN = an_effect(0.1, 0.2, kind="draw")
UNKNOWN = Effect("correction", "breath-late", "", 3, 2, 4, missing="too few cases")


@pytest.mark.parametrize(
    ("roster", "evidence"),
    [
        (FaultStatistics(), "coincides in time"),
        (FaultStatistics(odds=WIDE, correction=UNKNOWN), "coincides in time"),
        (FaultStatistics(odds=AT_80), "consistent with"),
        (FaultStatistics(correction=HELPED_80), "consistent with"),
        (FaultStatistics(odds=AT_90), "consistent with"),
        (FaultStatistics(odds=AT_80, correction=HELPED_90), "consistent with"),
        (FaultStatistics(odds=AT_90, correction=HELPED_90), "supported by roster comparison"),
        (FaultStatistics(odds=WIDE, correction=UNLIKE), "coincides in time"),
        (FaultStatistics(drawn=DRAWN), "supported by randomised timing"),
        (FaultStatistics(drawn=an_effect(-0.1, 0.1, kind="draw")), "coincides in time"),
    ],
)
def test_each_grade_needs_what_it_says(roster: FaultStatistics, evidence: Evidence) -> None:
    assert LINK.evidence == "coincides in time"
    assert grade(LINK, roster) == evidence


def test_a_confounder_near_the_onset_holds_the_roster_comparison_down() -> None:
    confounder = replace(LINK, confounders=(Confounder(EventKind.LAYOFF, day("02-20")),))
    assert grade(confounder, FaultStatistics(odds=AT_90, correction=HELPED_90)) == "consistent with"


@pytest.mark.parametrize("evidence", ["on record", "none"])
def test_what_does_not_coincide_is_never_raised(evidence: Evidence) -> None:
    link = replace(LINK, evidence=evidence)
    assert grade(link, FaultStatistics(AT_90, HELPED_90, DRAWN)) == evidence


def test_the_grounds_carry_their_numbers() -> None:
    cue = Work(from_date=day("2025-11-01"), swimmer=SWIMMER, kind="cue", text="wait in front")
    reading = StrokeReading("effort rising", 12, "rate", 5.0, 3.0, 7.0)
    own = OwnEvidence(timelines(KNOWN, AS_OF), [cue], reading)
    found = graded(LINK, a_stretch(), fault("breath-late"), own, FaultStatistics(AT_90, HELPED_90))
    assert found.grounds == (
        SeverityChanged(1, 3, day("02-10")),
        RosterOdds(9, 20, 9, 30, 1.4, 1.1, 2.2),
        CorrectionEffect(0.5, 0.1, 0.9, 15, 40, alike_before=True),
        Provoked("wait in front", day("2025-11-01")),
        StrokesMoved("effort rising", "rate", 12, 5.0, 3.0, 7.0),
    )
    assert found.evidence == "supported by roster comparison"


def test_severities_of_different_reviewers_are_no_dose() -> None:
    known = steps("2025-12-01 open breath-late/left 1 Aino", "02-10 seen breath-late/left 3 Mika")
    found = graded(LINK, a_stretch(), None, OwnEvidence(timelines(known, AS_OF)), FaultStatistics())
    assert found.grounds == ()


def test_an_effect_that_is_not_known_says_how_many_were_tried() -> None:
    found = graded(LINK, a_stretch(), None, OwnEvidence(), FaultStatistics(correction=UNKNOWN))
    assert found.grounds == (CorrectionUnknown(3, 2),)


def test_without_a_fault_only_the_strokes_can_bear_witness() -> None:
    reading = StrokeReading("both flat", 12, "rate", 0.0, -1.0, 1.0)
    found = graded(
        Link("none", "none"), a_stretch(), None, OwnEvidence(strokes=reading), FaultStatistics(AT_90)
    )
    assert [type(ground) for ground in found.grounds] == [StrokesMoved]
    assert found.evidence == "none"


@pytest.mark.parametrize(("compared", "named"), [(2, False), (3, True), (4, True)])
def test_odds_are_told_from_three_swimmers_on_either_side(compared: int, named: bool) -> None:
    for with_all, without_all in ((compared, 30), (30, compared)):
        odds = Odds("breath-late", 1, with_all, 1, without_all, 1.4, 1.1, 2.2, 1.2)
        statistics = replace(FaultStatistics(AT_90, HELPED_90), odds=odds)
        own = OwnEvidence(timelines(KNOWN, AS_OF), [], StrokeReading("too few", 0))
        found = graded(LINK, a_stretch(), fault("breath-late"), own, statistics)
        assert any(isinstance(ground, RosterOdds) for ground in found.grounds) is named
