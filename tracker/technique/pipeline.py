"""The whole pipeline: from records to verdicts, to linked faults, to what is due."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from tracker.engine.series.comparable import jump_days
from tracker.engine.series.from_swims import Columns, rows_from_swims
from tracker.engine.series.left_out import LeftOut
from tracker.engine.verdict.age import AgeYardstick, age_yardstick
from tracker.engine.verdict.forecast import Aim
from tracker.engine.verdict.judge import LearnedPriors, examine, judge_case
from tracker.engine.verdict.verdict import DatedStretch, Verdict
from tracker.model.base import Record
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swimmer import Choice, Swimmer
from tracker.model.vocabularies import State
from tracker.settings import Settings
from tracker.technique.attention import RosterLine, attention, need
from tracker.technique.confounders import OnsetContext, confounders_near, swum_near
from tracker.technique.due import due
from tracker.technique.evidence import FaultStatistics, grade
from tracker.technique.fault_timeline import FaultTimeline, timelines
from tracker.technique.link import Link
from tracker.technique.link_rule import link_timelines
from tracker.technique.rhythm import HABIT_DAYS, NO_HABITS, Habits
from tracker.technique.story import story_parts

R = TypeVar("R", bound=Record)


@dataclass(frozen=True)
class Club:
    """All that is on record of some swimmers, each kind of record by swimmer.

    `roster_evidence` is what the whole roster says of each fault (`app.roster_evidence`), `habits` how often
    each whole group is tested and looked at (`app.habits`).
    """

    swimmers: Mapping[str, Swimmer]
    swims: Columns
    steps: Mapping[str, Sequence[FaultStep]] = field(default_factory=dict)
    reviews: Mapping[str, Sequence[ReviewItem]] = field(default_factory=dict)
    events: Mapping[str, Sequence[Event]] = field(default_factory=dict)
    load: Mapping[str, Sequence[Load]] = field(default_factory=dict)
    choices: Mapping[str, Sequence[Choice]] = field(default_factory=dict)
    fault_order: Mapping[str, int] | None = None
    roster_evidence: Mapping[str, FaultStatistics] = field(default_factory=dict)
    habits: Mapping[str, Habits] = field(default_factory=dict)


def by_swimmer(records: Iterable[Any]) -> dict[str, list[Any]]:
    """Return records grouped by the swimmer they name, in the order given."""
    groups: dict[str, list[Any]] = {}
    for record in records:
        groups.setdefault(record.swimmer, []).append(record)
    return groups


def roster(
    club: Club,
    settings: Settings,
    *,
    as_of: dt.date,
    learned: LearnedPriors,
    detail: bool = False,
) -> list[RosterLine]:
    """Return a line for every swimmer of the club, most in need of a look first.

    Parameters
    ----------
    club
        What is on record; anything after `as_of` is not looked at.
    learned
        The priors learned from the whole roster (`app.learned_priors`): the same for one
        swimmer, a group and everybody, or their verdicts would disagree.
    detail
        Whether the verdicts carry points and curve for a chart.
    """
    rows, left_out = rows_from_swims(club.swims, settings, until=as_of)
    found: dict[str, Verdict] = {}
    if rows is not None:
        jumps = jump_days((event for own in club.events.values() for event in own), as_of)
        case = examine(rows, learned, settings, events=jumps)
        verdicts = judge_case(case, settings, as_of=as_of, detail=detail, aims=_aims(club))
        found = {verdict.swimmer: verdict for verdict in verdicts}
    left = by_swimmer(left_out)
    own = _rows_of_each(club.swims)
    nothing = slice(0, 0)
    lines = [
        _line(
            club, name, _Found(found.get(name), own.get(name, nothing), left.get(name, [])), as_of, settings
        )
        for name in club.swimmers
    ]
    return sorted(lines, key=need)


def _aims(club: Club) -> dict[str, Aim]:
    return {
        name: Aim(who.target_pace, who.target_date)
        for name, who in club.swimmers.items()
        if who.target_pace is not None and who.target_date is not None
    }


def _rows_of_each(swims: Columns) -> dict[str, slice]:
    """Return where each swimmer's rows lie."""
    names = swims["swimmer"]
    starts = np.flatnonzero(np.append(True, names[1:] != names[:-1])[: names.size]).tolist()
    return {names[a]: slice(a, b) for a, b in pairwise([*starts, names.size])}


@dataclass(frozen=True)
class _Found:
    """What the swims of one swimmer gave; `swims` are their rows."""

    verdict: Verdict | None
    swims: slice
    left_out: Sequence[LeftOut]


def _first_and_last_year(days: NDArray[np.datetime64], as_of: dt.date) -> list[dt.date]:
    """Return the first of some days in order, and those of the last year; none after `as_of`."""
    until = int(np.searchsorted(days, np.datetime64(as_of), side="right"))
    if until == 0:
        return []
    recent = int(np.searchsorted(days[:until], days[until - 1] - np.timedelta64(HABIT_DAYS, "D")))
    return [days[0].item(), *days[recent:until].tolist()]


def _last_course(swims: Columns, own: slice, as_of: dt.date) -> str:
    """Return the course of a swimmer's last swim up to a day; empty without any."""
    days = swims["date"][own]
    count = int(np.searchsorted(days, np.datetime64(as_of), side="right"))
    return str(swims["course"][own][count - 1]) if count else ""


def _line(club: Club, name: str, found: _Found, as_of: dt.date, settings: Settings) -> RosterLine:
    """Return one swimmer's line: links of all stretches, the present one's, what is due."""
    verdict = found.verdict
    steps = club.steps.get(name, ())
    items = club.reviews.get(name, ())
    known = timelines(steps, as_of, items)
    stretches = () if verdict is None else verdict.flat_stretches

    def linked(stretch: DatedStretch) -> Link:
        swum = swum_near(club.swims, found.swims, stretch.start, settings)
        around = OnsetContext(club.events.get(name, ()), swum, club.load.get(name, ()), stretches, known)
        confounders = confounders_near(stretch, around, as_of=as_of, settings=settings)
        link = link_timelines(stretch, known, as_of=as_of, order=club.fault_order, confounders=confounders)
        return replace(
            link, evidence=grade(link, club.roster_evidence.get(link.fault or "", FaultStatistics()))
        )

    links: dict[DatedStretch, Link] = {stretch: linked(stretch) for stretch in stretches}
    present = None if verdict is None else verdict.linked_stretch
    link = None if present is None else links.get(present) or linked(present)
    tested = _first_and_last_year(club.swims["date"][found.swims], as_of)
    events = club.events.get(name, ())
    choices = club.choices.get(name, ())
    who = club.swimmers[name]
    next_due = due(
        tested,
        verdict,
        steps,
        [item.date for item in items],
        events,
        choices,
        who=who,
        items=items,
        group=club.habits.get(who.group, NO_HABITS),
        course=_last_course(club.swims, found.swims, as_of) or settings.course,
        as_of=as_of,
        settings=settings,
    )
    return RosterLine(
        name,
        who.group,
        _age_yardstick(who, verdict),
        verdict,
        link,
        tuple(links[stretch] for stretch in stretches),
        next_due,
        attention(verdict, link, next_due, choices, as_of=as_of, returned=_returned(known)),
        tuple(found.left_out),
        story_parts(verdict, links, link, linked),
    )


def _returned(known: Iterable[FaultTimeline]) -> bool:
    """Return whether some fault came back and waits for somebody."""
    return any(timeline.moments[-1].state is State.BACK for timeline in known)


def _age_yardstick(who: Swimmer, verdict: Verdict | None) -> AgeYardstick | None:
    """Return the present rate beside that of age alone; None where the record is too short for a verdict."""
    if verdict is None or verdict.lacks:
        return None
    monthly = (verdict.rate_low, verdict.rate, verdict.rate_high)
    return age_yardstick(monthly, who.born, who.sex, verdict.last)
