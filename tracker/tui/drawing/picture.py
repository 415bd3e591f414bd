"""The data of a swimmer's chart: tests, line, lanes of faults, marks of events."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from typing import assert_never

from tracker.app.explain import SwimmerView
from tracker.engine.verdict.verdict import Curve, FlatStretch, Point
from tracker.model.vocabularies import State
from tracker.output.sentences.verdict import no_line, shown_stretches
from tracker.technique.fault_timeline import Spell
from tracker.technique.link import Finding
from tracker.technique.privacy import ShownEvent


@dataclass(frozen=True)
class LaneSpell:
    """A span of dates in which a fault had one state; `ends` None while it lasts."""

    state: State
    begins: dt.date
    ends: dt.date | None


@dataclass(frozen=True)
class Lane:
    """One fault (and side) of a swimmer over time."""

    name: str
    spells: tuple[LaneSpell, ...]


@dataclass(frozen=True)
class Mark:
    """An event, a cue or a drill: a word at a date, perhaps lasting until `ends`."""

    begins: dt.date
    ends: dt.date | None
    word: str


@dataclass(frozen=True)
class StrokeSeries:
    """Values of the stroke by date: what they are, their unit, and (date, value) pairs."""

    kind: str
    unit: str
    values: tuple[tuple[dt.date, float], ...]


@dataclass(frozen=True)
class Picture:
    """Everything on the chart.

    Attributes
    ----------
    until
        The last day shown by default and the end of spells that last.
    no_line
        Why there is no curve; "" where there is one.
    lanes
        In the order in which they stand below the pace.
    marks, work
        Events; and cues and drills, from the day they were begun.
    strokes
        Shown in a pane of its own between the pace and the dates.
    """

    until: dt.date
    points: tuple[Point, ...] = ()
    curve: Curve | None = None
    no_line: str = ""
    flats: tuple[FlatStretch, ...] = ()
    lanes: tuple[Lane, ...] = ()
    marks: tuple[Mark, ...] = ()
    work: tuple[Mark, ...] = ()
    strokes: StrokeSeries | None = None

    @property
    def first(self) -> dt.date:
        """The first day with anything on it."""
        days = [point.date for point in self.points]
        days += [spell.begins for lane in self.lanes for spell in lane.spells]
        days += [mark.begins for mark in self.marks]
        return min([day for day in days if day <= self.until], default=self.until - dt.timedelta(days=90))


def _rank_of(state: State) -> int:
    """Return the place of a lane by its last state, what nobody works on first."""
    match state:
        case State.OPEN:
            return 0
        case State.BACK:
            return 1
        case State.IN_WORK:
            return 2
        case State.PARKED:
            return 3
        case State.SAID_CORRECTED:
            return 4
        case State.CORRECTED:
            return 5
        case other:
            assert_never(other)


def picture_of(view: SwimmerView, as_of: dt.date) -> Picture:
    """Return what the chart shows of one swimmer.

    The linked fault stands first, then what is open, in work, parked, corrected.
    """
    verdict = view.line.verdict
    link = view.line.link
    linked = (link.fault, link.side or "") if link is not None and link.fault else ("", "")
    return Picture(
        until=as_of,
        points=verdict.points if verdict else (),
        curve=verdict.curve if verdict else None,
        no_line=no_line(verdict) if verdict else "",
        flats=shown_stretches(verdict) if verdict else (),
        lanes=_lanes(view.spells, linked),
        marks=tuple(
            Mark(event.from_date, event.to_date, event_word(event))
            for event in (row.record for row in view.events)
        ),
        work=tuple(Mark(one.from_date, one.to_date, one.text) for one in (row.record for row in view.work)),
    )


def event_word(event: ShownEvent) -> str:
    """Return the word of an event."""
    if event.is_break:
        return Finding.BREAK
    return event.kind.about.mark or event.kind


def _lanes(spells: Sequence[Spell], linked: tuple[str, str]) -> tuple[Lane, ...]:
    found: dict[tuple[str, str], list[Spell]] = {}
    for spell in spells:
        found.setdefault((spell.fault, spell.side), []).append(spell)

    def rank(key: tuple[str, str]) -> tuple[bool, int, dt.date]:
        last = found[key][-1]
        return key != linked, _rank_of(last.state), last.begins

    return tuple(
        Lane(
            lane_name(key),
            tuple(LaneSpell(spell.state, spell.begins, spell.ends) for spell in found[key]),
        )
        for key in sorted(found, key=rank)
    )


def lane_name(key: tuple[str, str]) -> str:
    """Return the short name of a fault with its side's letter: the gutter is narrow."""
    fault, side = key
    return f"{fault} {side[:1].upper()}" if side else fault
