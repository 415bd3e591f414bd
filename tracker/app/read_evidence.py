"""Read what a verdict's evidence rests on.

A coach who sees only some groups goes by what somebody learned who sees everything, or two coaches
would read two verdicts on one swimmer. Only where nobody has, they learn from what they see, and store it
for themselves. What is stored names nobody.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from tracker.app.habits import group_habits
from tracker.app.read_club import read_club
from tracker.engine.verdict.judge import LearnedPriors
from tracker.model.catalogue import Fault, full_catalogue
from tracker.model.fault import OwnFault
from tracker.model.swim import Swim
from tracker.model.work import Work
from tracker.settings import Settings
from tracker.store.reading import Reader
from tracker.technique.attention import RosterLine
from tracker.technique.evidence import FaultStatistics, OwnEvidence, graded
from tracker.technique.fault_timeline import FaultTimeline, timelines
from tracker.technique.pipeline import Club, by_swimmer, roster
from tracker.technique.roster_evidence import Person, RosterEvidence, looks_of
from tracker.technique.story import with_changes
from tracker.technique.stroke_reading import read_strokes, stroked


@dataclass(frozen=True)
class RosterRecord:
    """The roster with points, what everybody does and did, and what follows from it together."""

    club: Club
    lines: dict[str, RosterLine]
    people: dict[str, Person]
    catalogue: dict[str, Fault]
    as_of: dt.date

    @cached_property
    def evidence(self) -> RosterEvidence:
        """What they say together; built when asked for."""
        return RosterEvidence(self.people.values(), as_of=self.as_of)


def evidence_of(  # noqa: PLR0913 - what was learned before, and the swimmers
    reader: Reader,
    learned: LearnedPriors,
    *,
    as_of: dt.date,
    settings: Settings,
    roster_evidence: Mapping[str, FaultStatistics] | None = None,
    name: str | None = None,
    among: Sequence[str] | None = None,
    group: str | None = None,
) -> RosterRecord:
    """Return the record out of an open snapshot, of everybody, of one swimmer or of one group.

    Parameters
    ----------
    roster_evidence
        What the whole roster says of each fault (`app.roster_evidence`), by which links are graded.

    Raises
    ------
    UnknownNameError
        If nobody is called `name`.
    """
    label = None if name is None else reader.swimmer(name).record.swimmer
    club = read_club(
        reader,
        group=group,
        swimmer=label,
        among=among,
        roster_evidence=roster_evidence,
        habits=group_habits(reader, as_of),
    )
    whose = {} if among is None else {"swimmer": tuple(among)}
    work: dict[str, list[Work]] = by_swimmer(row.record for row in reader.all(Work, **whose))
    own = [row.record for row in reader.all(OwnFault)]
    lines = {line.swimmer: line for line in roster(club, settings, as_of=as_of, learned=learned, detail=True)}
    people = {label: person_of(line, club, work.get(label, ()), as_of) for label, line in lines.items()}
    catalogue = {entry.slug: entry for entry in full_catalogue(own)}
    return RosterRecord(club, lines, people, catalogue, as_of)


def person_of(line: RosterLine, club: Club, work: Sequence[Work], as_of: dt.date) -> Person:
    """Return a swimmer as the roster's evidence takes them; nothing after `as_of` is looked at."""
    label = line.swimmer
    steps = club.steps.get(label, ())
    return Person(
        label,
        line.group,
        line.verdict,
        timelines(steps, as_of, club.reviews.get(label, ())),
        [look for look in looks_of(club.reviews.get(label, ()), steps) if look[0] <= as_of],
        [one for one in work if one.from_date <= as_of],
        club.choices.get(label, ()),
    )


@dataclass(frozen=True)
class OwnRecord:
    """What one swimmer's own record bears on the link; `swims` are those whose strokes may be read."""

    timelines: Sequence[FaultTimeline]
    work: Sequence[Work]
    swims: Sequence[Swim]


def grade_link(
    line: RosterLine,
    own: OwnRecord,
    catalogue: Mapping[str, Fault],
    roster_evidence: Mapping[str, FaultStatistics],
) -> RosterLine:
    """Return `line` with the grounds of its present link, and with what changed near a restart."""
    stretch = line.verdict.linked_stretch if line.verdict else None
    story = with_changes(line.story, line.swimmer, own.timelines, own.work)
    if line.link is None or stretch is None:
        return replace(line, story=story)
    fault = line.link.fault or ""
    strokes = read_strokes(stretch, [stroked(swim) for swim in own.swims])
    said = OwnEvidence(own.timelines, own.work, strokes)
    link = graded(
        line.link, stretch, catalogue.get(fault), said, roster_evidence.get(fault, FaultStatistics())
    )
    graded_parts = tuple(replace(part, link=link) if part.span.current else part for part in story)
    return replace(line, link=link, story=graded_parts)


PRIORS_VERSION = 6
"""Raised whenever the way priors are learned changes, so that no older ones are used."""
EVIDENCE_VERSION = 3
"""Raised whenever the way roster evidence is learned changes, so that none of an older way is used."""


def load_derived(reader: Reader, name: str, basis: str) -> dict[str, Any] | None:
    """Return the stored value of that name if it rests on this basis; None if it must be worked out.

    Parameters
    ----------
    basis
        A JSON list that ends with the fingerprints of the data; those of hidden data can't be compared.
    """
    found = _read(reader, name)
    if reader.sees_everything:
        return found if found is not None and found["basis"] == basis else None
    if found is not None and json.loads(found["basis"])[:-1] == json.loads(basis)[:-1]:
        return found
    own = _read(reader, derived_name(reader, name))
    return own if own is not None and own["basis"] == basis else None


def derived_name(reader: Reader, name: str) -> str:
    """Return the name under which this reader stores a derived value."""
    return name if reader.sees_everything else f"{name} for {reader.login}"


def _read(reader: Reader, name: str) -> dict[str, Any] | None:
    text = reader.derived(name)
    return None if text is None else json.loads(text)
