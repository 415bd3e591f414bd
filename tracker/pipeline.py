"""The whole way, top to bottom: what is on record, to verdicts, to linked faults, to what is due."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from tracker.faults.attention import Attention, attention
from tracker.faults.due import Due, due
from tracker.faults.link import Link
from tracker.faults.rivals import Witness, rivals_near
from tracker.faults.rule import link_stretch
from tracker.records.base import Record
from tracker.records.event import Event, Load
from tracker.records.fault import FaultStep
from tracker.records.review import ReviewItem
from tracker.records.swimmer import Choice, Swimmer
from tracker.series.comparable import comparable_series
from tracker.series.from_swims import Columns, LeftOut, rows_from_swims
from tracker.series.rows import day_number
from tracker.settings import Settings
from tracker.trend.priors import Priors
from tracker.verdict.judge import judge_series, priors_for
from tracker.verdict.verdict import FlatStretch, Verdict

R = TypeVar("R", bound=Record)


@dataclass(frozen=True)
class Club:
    """All that is on record of some swimmers, each kind of record by swimmer."""

    swimmers: Mapping[str, Swimmer]
    swims: Columns
    steps: Mapping[str, Sequence[FaultStep]] = field(default_factory=dict)
    reviews: Mapping[str, Sequence[ReviewItem]] = field(default_factory=dict)
    events: Mapping[str, Sequence[Event]] = field(default_factory=dict)
    load: Mapping[str, Sequence[Load]] = field(default_factory=dict)
    choices: Mapping[str, Sequence[Choice]] = field(default_factory=dict)
    fault_order: Sequence[str] = ()


@dataclass(frozen=True)
class RosterLine:
    """One swimmer of a roster; `verdict` is None without a usable test.

    `stretch_links` are parallel to `verdict.flat_stretches`.
    """

    swimmer: str
    group: str
    born: int | None
    verdict: Verdict | None
    link: Link | None
    stretch_links: tuple[Link, ...]
    due: Due
    attention: Attention
    left_out: tuple[LeftOut, ...] = ()

    @property
    def new(self) -> bool:
        """Whether nobody has marked this verdict as seen."""
        return self.attention.new


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
    priors: Priors | None = None,
    detail: bool = False,
) -> list[RosterLine]:
    """Return a line for every swimmer of the club, most in need of a look first.

    Parameters
    ----------
    club
        What is on record; anything after `as_of` is not looked at.
    priors
        What the engine believes beforehand; None learns it from the club.
    detail
        Whether the verdicts carry points and curve for a chart.
    """
    rows, left_out = rows_from_swims(club.swims, settings, until=as_of)
    found: dict[str, Verdict] = {}
    if rows is not None:
        jumps = {
            name: [day_number(event.from_date) for event in events if event.from_date <= as_of]
            for name, events in club.events.items()
        }
        series = comparable_series(rows, jumps)
        believed = priors or priors_for(series, settings)
        verdicts = judge_series(series, settings, priors=believed, as_of=as_of, detail=detail)
        found = {verdict.swimmer: verdict for verdict in verdicts}
    left = by_swimmer(left_out)
    lines = [
        _line(club, name, found.get(name), tuple(left.get(name, ())), as_of, settings)
        for name in club.swimmers
    ]
    return sorted(lines, key=lambda line: (line.attention.rank, line.swimmer))


def _line(
    club: Club,
    name: str,
    verdict: Verdict | None,
    left_out: tuple[LeftOut, ...],
    as_of: dt.date,
    settings: Settings,
) -> RosterLine:
    """Return one swimmer's line: links of all stretches, the present one's, what is due."""
    steps = [step for step in club.steps.get(name, ()) if step.date <= as_of]
    reviews = [item for item in club.reviews.get(name, ()) if item.date <= as_of]
    link: Link | None = None
    stretch_links: tuple[Link, ...] = ()
    if verdict is not None:
        witness = Witness(
            club.events.get(name, ()), club.load.get(name, ()), verdict.points, settings.rival_weeks
        )

        def linked(stretch: FlatStretch) -> Link:
            rivals = rivals_near(stretch, witness)
            return link_stretch(stretch, steps, as_of=as_of, order=club.fault_order, rivals=rivals)

        present = verdict.present_stretch
        link = None if present is None else linked(present)
        stretch_links = tuple(linked(stretch) for stretch in verdict.flat_stretches)
    next_due = due(verdict, steps, reviews, as_of=as_of, settings=settings)
    need = attention(verdict, link, next_due, club.choices.get(name, ()), as_of=as_of)
    who = club.swimmers[name]
    return RosterLine(name, who.group, who.born, verdict, link, stretch_links, next_due, need, left_out)
