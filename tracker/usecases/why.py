"""Everything on record of one swimmer, with the verdict and what it rests on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace

from tracker.faults.evidence import Roster
from tracker.faults.life import Spell, lives, spells_of
from tracker.faults.roster_line import RosterLine
from tracker.pipeline import Club, roster
from tracker.records.catalogue import full_catalogue
from tracker.records.event import Event, Load
from tracker.records.fault import FaultStep, OwnFault
from tracker.records.kept import Kept
from tracker.records.review import ReviewItem
from tracker.records.swim import Swim
from tracker.records.swimmer import Choice, Consent, Swimmer
from tracker.records.work import Work
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.store.reading import Reader
from tracker.usecases.grade_link import OwnRecord, grade_link
from tracker.usecases.read_club import read_club
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.weigh_roster import weigh_roster
from tracker.verdict.judge import Taught
from tracker.verdict.standing import that_count


@dataclass(frozen=True)
class SwimmerView:
    """One swimmer's line with points and curve, and the record beneath it, up to the day asked about.

    `counted` are those of `swims` that count (`verdict.standing`).
    """

    swimmer: Swimmer
    line: RosterLine
    spells: tuple[Spell, ...]
    swims: tuple[Kept[Swim], ...]
    counted: tuple[Swim, ...]
    steps: tuple[Kept[FaultStep], ...]
    reviews: tuple[Kept[ReviewItem], ...]
    work: tuple[Kept[Work], ...]
    events: tuple[Kept[Event], ...]
    load: tuple[Kept[Load], ...]
    choices: tuple[Kept[Choice], ...]
    consents: tuple[Kept[Consent], ...]


def why(store: Store, name: str, *, as_of: dt.date, settings: Settings) -> SwimmerView:
    """Return the evidence behind one swimmer's verdict.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    taught = roster_teaching(store, as_of=as_of, settings=settings)
    weighed = weigh_roster(store, as_of=as_of, settings=settings)
    with store.read() as reader:
        return view_in(reader, name, taught, weighed, as_of=as_of, settings=settings)[0]


def view_in(
    reader: Reader,
    name: str,
    taught: Taught,
    weighed: Mapping[str, Roster],
    *,
    as_of: dt.date,
    settings: Settings,
) -> tuple[SwimmerView, Club]:
    """Return the evidence out of one snapshot, and the swimmer's record as the pipeline takes it."""
    who = reader.swimmer(name).record
    label = who.swimmer
    club = read_club(reader, swimmer=label, weighed=weighed)
    catalogue = {e.slug: e for e in full_catalogue(kept.record for kept in reader.all(OwnFault))}
    swims = tuple(kept for kept in reader.all(Swim, swimmer=label) if kept.record.date <= as_of)
    steps = tuple(kept for kept in reader.all(FaultStep, swimmer=label) if kept.record.date <= as_of)
    reviews = tuple(kept for kept in reader.all(ReviewItem, swimmer=label) if kept.record.date <= as_of)
    work = tuple(kept for kept in reader.all(Work, swimmer=label) if kept.record.from_date <= as_of)
    events = tuple(kept for kept in reader.all(Event, swimmer=label) if kept.record.from_date <= as_of)
    load = tuple(kept for kept in reader.all(Load, swimmer=label) if kept.record.week <= as_of)
    choices = tuple(kept for kept in reader.all(Choice, swimmer=label) if kept.record.date <= as_of)
    given = [kept for kept in reader.all(Consent, swimmer=label) if kept.record.date <= as_of]
    consents = tuple(_given(kept, as_of) for kept in given)
    line = roster(club, settings, as_of=as_of, taught=taught, detail=True)[0]
    known = lives([kept.record for kept in steps], as_of)
    counted = that_count((kept.record for kept in swims), line.verdict, settings)
    own = OwnRecord(known, [kept.record for kept in work], counted)
    line = grade_link(line, own, catalogue, weighed)
    told = tuple(spell for life in known for spell in spells_of(life))
    view = SwimmerView(
        who, line, told, swims, tuple(counted), steps, reviews, work, events, load, choices, consents
    )
    return view, club


def _given(consent: Kept[Consent], as_of: dt.date) -> Kept[Consent]:
    """Return a consent as it stood that day: what was withdrawn later was not withdrawn yet."""
    withdrawn = consent.record.withdrawn
    if withdrawn is None or withdrawn <= as_of:
        return consent
    return replace(consent, record=consent.record.model_copy(update={"withdrawn": None}))
