"""A swimmer's record as the picture of the joint chart."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from tracker.faults.life import Spell
from tracker.output.stretch_words import told_stretches
from tracker.output.wording import no_line
from tracker.records.event import Event
from tracker.records.event_kinds import HEALTH_KINDS
from tracker.tui.drawing.picture import Lane, LaneSpell, Mark, Picture
from tracker.usecases.why import SwimmerView

ORDER = ("open", "back", "in work", "parked", "said to be corrected", "corrected")


def picture_of(view: SwimmerView, as_of: dt.date, *, health: bool) -> Picture:
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
        flats=told_stretches(verdict) if verdict else (),
        lanes=_lanes(view.spells, linked),
        marks=tuple(
            Mark(event.from_date, event.to_date, event_word(event, health=health))
            for event in (kept.record for kept in view.events)
        ),
        work=tuple(Mark(one.from_date, one.to_date, one.text) for one in (kept.record for kept in view.work)),
    )


def event_word(event: Event, *, health: bool) -> str:
    """Return the word of an event; a break where it is about health and that is switched off."""
    if event.kind in HEALTH_KINDS and not health:
        return "break"
    return "lay-off" if event.kind == "layoff" else event.kind


def _lanes(spells: Sequence[Spell], linked: tuple[str, str]) -> tuple[Lane, ...]:
    found: dict[tuple[str, str], list[Spell]] = {}
    for spell in spells:
        found.setdefault((spell.fault, spell.side), []).append(spell)

    def rank(key: tuple[str, str]) -> tuple[bool, int, dt.date]:
        last = found[key][-1]
        return key != linked, ORDER.index(last.state), last.begins

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
