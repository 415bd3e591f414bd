"""Grade the evidence for a link, with its numbers. Never "because".

1 the fault was seen near the onset; 2 its severity rose before; 3 swimmers with it are flat more often;
4 swimmers corrected of it gained against like ones; 5 no confounder stood near the onset. The grades:
on record; coincides in time (1); consistent with (1 and 3 or 4, at 80 %); supported by roster comparison
(1, 3, 4 and 5, at 90 %); supported by randomised timing (1, and a draw at 90 %).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from tracker.engine.verdict.verdict import DatedStretch
from tracker.model.catalogue import Fault
from tracker.model.work import Work
from tracker.technique.cautions import provoking
from tracker.technique.effect import Effect
from tracker.technique.fault_timeline import FaultTimeline
from tracker.technique.link import Evidence, Link
from tracker.technique.link_grounds import (
    CorrectionEffect,
    CorrectionUnknown,
    DrawEffect,
    DrawUnknown,
    LinkGround,
    Provoked,
    RosterOdds,
    SeverityChanged,
    StrokesMoved,
)
from tracker.technique.roster_odds import Odds
from tracker.technique.stroke_reading import StrokeReading

LEAST_COMPARED = 3
"""Fewest swimmers on either side for the roster's comparison to be stated (assumption)."""


@dataclass(frozen=True)
class FaultStatistics:
    """What the roster says of one fault; None where there is nothing to say."""

    odds: Odds | None = None
    correction: Effect | None = None
    drawn: Effect | None = None


@dataclass(frozen=True)
class OwnEvidence:
    """What the swimmer's own record says beside the link."""

    timelines: Sequence[FaultTimeline] = ()
    work: Sequence[Work] = ()
    strokes: StrokeReading | None = None


def graded(
    link: Link, stretch: DatedStretch, entry: Fault | None, evidence: OwnEvidence, roster: FaultStatistics
) -> Link:
    """Return `link` with its full grade and the grounds, each with its numbers.

    Parameters
    ----------
    entry
        The linked fault in the catalogue; None if it is not known there.
    """
    if link.fault is None or link.opened is None:
        return replace(link, grounds=tuple(_strokes(evidence.strokes)))
    grounds = [
        *_dose(link, stretch, evidence.timelines),
        *_odds(roster.odds),
        *_effect(roster.correction, CorrectionEffect, CorrectionUnknown),
        *_effect(roster.drawn, DrawEffect, DrawUnknown),
        *_provoked(link.opened, entry, evidence.work),
        *_strokes(evidence.strokes),
    ]
    return replace(link, evidence=grade(link, roster), grounds=tuple(grounds))


def grade(link: Link, roster: FaultStatistics) -> Evidence:
    """Return the grade; only a link that coincides in time can be raised."""
    if link.evidence != Evidence.COINCIDES:
        return link.evidence
    odds, correction, drawn = roster.odds, roster.correction, roster.drawn
    if drawn is not None and drawn.gain is not None and drawn.gain.low > 0:
        return Evidence.RANDOMISED
    gain = correction.gain if correction is not None and correction.alike_before else None
    if odds is not None and odds.low > 1 and gain is not None and gain.low > 0 and not link.confounders:
        return Evidence.ROSTER
    if (odds is not None and odds.low80 > 1) or (gain is not None and gain.low80 > 0):
        return Evidence.CONSISTENT
    return link.evidence


def _dose(link: Link, stretch: DatedStretch, timelines: Sequence[FaultTimeline]) -> list[LinkGround]:
    """Return how severity changed up to the onset, as seen by one and the same reviewer."""
    for timeline in timelines:
        if (timeline.fault, timeline.side) != (link.fault, link.side):
            continue
        noted = [
            (s.severity, s)
            for s in timeline.sightings
            if s.day <= stretch.start_high
            and s.severity is not None
            and s.day >= (link.opened or dt.date.min)
        ]
        same = [(severity, s) for severity, s in noted if s.reviewer == noted[-1][1].reviewer]
        if len(same) >= 2 and same[-1][0] != same[0][0]:
            return [SeverityChanged(same[0][0], same[-1][0], same[-1][1].day)]
    return []


def _odds(odds: Odds | None) -> list[LinkGround]:
    if odds is None or min(odds.with_all, odds.without_all) < LEAST_COMPARED:
        return []
    counted = (odds.with_flat, odds.with_all, odds.without_flat, odds.without_all)
    return [RosterOdds(*counted, odds.ratio, odds.low, odds.high)]


def _effect(
    effect: Effect | None,
    known: type[CorrectionEffect | DrawEffect],
    unknown: type[CorrectionUnknown | DrawUnknown],
) -> list[LinkGround]:
    if effect is None or not effect.tried:
        return []
    if effect.gain is None:
        return [unknown(effect.tried, effect.changed)]
    gain = (effect.gain.value, effect.gain.low, effect.gain.high)
    return [known(*gain, effect.changed, effect.compared, effect.alike_before)]


def _provoked(opened: dt.date, entry: Fault | None, work: Sequence[Work]) -> list[LinkGround]:
    cues = () if entry is None else provoking(entry, work, opened)
    return [Provoked(cue.text, cue.from_date) for cue in cues]


def _strokes(reading: StrokeReading | None) -> list[LinkGround]:
    if reading is None or reading.by is None or reading.change is None:
        return []
    span = (reading.change, reading.low or 0.0, reading.high or 0.0)
    return [StrokesMoved(reading.witness, reading.by, reading.swims, *span)]
