"""Read what the roster says of faults and changes, beside everybody's line, in one snapshot."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from tracker.faults.evidence import Roster
from tracker.faults.life import lives
from tracker.faults.roster_evidence import Person, RosterEvidence, looks_of
from tracker.faults.roster_line import RosterLine
from tracker.pipeline import Club, by_swimmer, roster
from tracker.records.catalogue import Fault, full_catalogue
from tracker.records.fault import OwnFault
from tracker.records.work import Work
from tracker.settings import Settings
from tracker.store.reading import Reader
from tracker.usecases.read_club import read_club
from tracker.verdict.judge import Taught


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


def evidence_of(  # noqa: PLR0913 - what was learned before, and whom it is about
    reader: Reader,
    taught: Taught,
    *,
    as_of: dt.date,
    settings: Settings,
    weighed: Mapping[str, Roster] | None = None,
    name: str | None = None,
    among: Sequence[str] | None = None,
    group: str | None = None,
) -> RosterRecord:
    """Return the record out of an open snapshot, of everybody, of one swimmer or of one group.

    Parameters
    ----------
    weighed
        What the whole roster says of each fault (`usecases.weigh_roster`), by which links are graded.

    Raises
    ------
    UnknownNameError
        If nobody is called `name`.
    """
    label = None if name is None else reader.swimmer(name).record.swimmer
    club = read_club(reader, group=group, swimmer=label, among=among, weighed=weighed)
    whose = {} if among is None else {"swimmer": tuple(among)}
    work: dict[str, list[Work]] = by_swimmer(kept.record for kept in reader.all(Work, **whose))
    own = [kept.record for kept in reader.all(OwnFault)]
    lines = {line.swimmer: line for line in roster(club, settings, as_of=as_of, taught=taught, detail=True)}
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
        lives(steps, as_of),
        [look for look in looks_of(club.reviews.get(label, ()), steps) if look[0] <= as_of],
        [one for one in work if one.from_date <= as_of],
        club.choices.get(label, ()),
    )
