"""Which fault was most recently left uncorrected when a flat stretch began."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from tracker.engine.verdict.verdict import DatedStretch
from tracker.model.catalogue import catalogue_order
from tracker.model.fault import FaultStep
from tracker.model.vocabularies import State
from tracker.technique.fault_timeline import CLOSED, FaultTimeline, timelines
from tracker.technique.link import Candidate, Chance, Confounder, Evidence, How, Link, chance_from_interval

SEEN_AFTER = dt.timedelta(weeks=2)
SEEN_BEFORE = dt.timedelta(weeks=8)
"""A fault coincides when it was seen at most 8 weeks before or 2 weeks after the onset."""
COINCIDES = 0.5
"""... with at least this probability."""


@dataclass(frozen=True)
class _Found:
    timeline: FaultTimeline
    as_candidate: Candidate


def link_stretch(
    stretch: DatedStretch,
    steps: Iterable[FaultStep],
    *,
    as_of: dt.date,
    order: Mapping[str, int] | None = None,
    confounders: Sequence[Confounder] = (),
    onset: Chance | None = None,
) -> Link:
    """Return the link of one flat stretch from the swimmer's steps.

    Parameters
    ----------
    as_of
        The day of the verdict; later steps are not looked at.
    order
        Place of each fault in the catalogue, own ones included; default: the built-in catalogue,
        others after it by name.
    confounders
        What else stood near the onset; handed through.
    onset
        The onset's distribution; default: from the stretch's interval.
    """
    return link_timelines(
        stretch, timelines(steps, as_of), as_of=as_of, order=order, confounders=confounders, onset=onset
    )


def link_timelines(
    stretch: DatedStretch,
    timelines: Sequence[FaultTimeline],
    *,
    as_of: dt.date,
    order: Mapping[str, int] | None = None,
    confounders: Sequence[Confounder] = (),
    onset: Chance | None = None,
) -> Link:
    """Return the link of one flat stretch; as `link_stretch`, for timelines already built."""
    places = catalogue_order() if order is None else order
    met = [found for timeline in timelines if (found := _at_onset(timeline, stretch)) is not None]
    said = tuple(f.as_candidate for f in met if f.as_candidate.state == State.SAID_CORRECTED)
    left = sorted(
        (f for f in met if f.as_candidate.state not in CLOSED), key=lambda f: _rank(f.as_candidate, places)
    )
    if left:
        link = _link(How.BEFORE, left, stretch, as_of, onset or chance_from_interval(stretch))
    elif later := _first_during(stretch, timelines, as_of, places):
        link = _link(How.DURING, [later], stretch, as_of, onset or chance_from_interval(stretch))
    else:
        link = Link(How.NONE, Evidence.NONE)
    return replace(link, said_corrected=said, confounders=tuple(confounders))


def _at_onset(timeline: FaultTimeline, stretch: DatedStretch) -> _Found | None:
    """Return the fault as it was on the day the stretch began, or on its opening day if that is later."""
    opened = timeline.opened_by(stretch.start_high)
    if opened is None:
        return None
    moment = timeline.on(max(stretch.start, opened))
    if moment is None:
        return None
    return _Found(timeline, Candidate(timeline.fault, timeline.side, moment.state, opened, moment.severity))


def _rank(candidate: Candidate, places: Mapping[str, int]) -> tuple[bool, int, int, int, str, str]:
    """Parked last; then the latest opening, the higher severity, the catalogue's order."""
    return (
        candidate.state == State.PARKED,
        -candidate.opened.toordinal(),
        -(candidate.severity or 0),
        places.get(candidate.fault, len(places)),
        candidate.fault,
        candidate.side,
    )


def _first_during(
    stretch: DatedStretch, known: Sequence[FaultTimeline], as_of: dt.date, places: Mapping[str, int]
) -> _Found | None:
    """Return the first fault opened or come back after the onset's interval, while the stretch lasted."""
    last = max(stretch.end, as_of) if stretch.current else stretch.end
    found = []
    for timeline in known:
        opened = next((day for day in timeline.openings if stretch.start_high < day <= last), None)
        moment = timeline.on(opened) if opened else None
        if opened and moment:
            found.append(
                _Found(
                    timeline, Candidate(timeline.fault, timeline.side, moment.state, opened, moment.severity)
                )
            )
    return min(
        found,
        key=lambda f: (f.as_candidate.opened, *_rank(f.as_candidate, places)),
        default=None,
    )


def _link(how: How, found: Sequence[_Found], stretch: DatedStretch, as_of: dt.date, onset: Chance) -> Link:
    first = found[0].as_candidate
    return Link(
        how=how,
        evidence=_in_time(found[0].timeline, onset),
        fault=first.fault,
        side=first.side,
        state=first.state,
        opened=first.opened,
        began=stretch.start,
        days_open=(_open_until(found[0].timeline, as_of) - first.opened).days,
        state_now=found[0].timeline.moments[-1].state,
        also=tuple(f.as_candidate for f in found[1:]),
    )


def _open_until(timeline: FaultTimeline, as_of: dt.date) -> dt.date:
    """Return the day a fault was corrected, if it is by now, else the day of the verdict."""
    corrected = timeline.began(as_of) if timeline.moments[-1].state == State.CORRECTED else None
    return corrected or as_of


def _in_time(timeline: FaultTimeline, onset: Chance) -> Evidence:
    """Return whether the onset lies from 2 weeks before to 8 weeks after some sighting of the fault."""
    near = any(
        onset(sighting.day - SEEN_AFTER, sighting.day + SEEN_BEFORE) >= COINCIDES
        for sighting in timeline.sightings
    )
    return Evidence.COINCIDES if near else Evidence.ON_RECORD
