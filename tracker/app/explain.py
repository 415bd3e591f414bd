"""The evidence on one swimmer, and the effects of changes over the roster."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from tracker.app.faults import names_in
from tracker.app.habits import group_habits
from tracker.app.learned_priors import learned_priors
from tracker.app.next_step import latest_css
from tracker.app.read_club import read_club
from tracker.app.read_evidence import OwnRecord, evidence_of, grade_link
from tracker.app.reviews import looks_in
from tracker.app.roster_evidence import learn_roster_evidence
from tracker.app.session import Session
from tracker.engine.series.comparable import jump_days
from tracker.engine.series.from_swims import rows_from_swims
from tracker.engine.verdict.counted_swims import counted_swims, stroke_swims
from tracker.engine.verdict.judge import LearnedPriors, examine
from tracker.engine.verdict.second_look import SecondLook, second_look
from tracker.model.base import StoredRow
from tracker.model.catalogue import full_catalogue
from tracker.model.event import Event, Load
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.sources import Constant, Source
from tracker.model.swim import Swim
from tracker.model.swimmer import Choice, Consent, Swimmer
from tracker.model.work import Work
from tracker.output.sentences.data import css_sentence
from tracker.output.sentences.disputes import dispute_line
from tracker.output.sentences.evidence import beside_the_club, look_lines
from tracker.output.sentences.second_look import first_weeks, second_look_sections
from tracker.output.why_text import Section, why_sections
from tracker.settings import Settings
from tracker.store.reading import Reader
from tracker.technique.attention import RosterLine
from tracker.technique.disputes import Dispute
from tracker.technique.effect import Effect, Shrunk, shrunk
from tracker.technique.evidence import FaultStatistics
from tracker.technique.fault_timeline import ChangeKind, Spell, spells_of, timelines
from tracker.technique.pipeline import Club, roster
from tracker.technique.privacy import ShownEvent, in_evidence, on_record
from tracker.technique.sources_used import constants_used, sources_used


@dataclass(frozen=True)
class SwimmerView:
    """One swimmer's line with points and curve, and the record beneath it, up to the day asked about.

    `counted` are those of `swims` that count (`engine.verdict.standing`).
    """

    swimmer: Swimmer
    line: RosterLine
    spells: tuple[Spell, ...]
    swims: tuple[StoredRow[Swim], ...]
    counted: tuple[Swim, ...]
    steps: tuple[StoredRow[FaultStep], ...]
    reviews: tuple[StoredRow[ReviewItem], ...]
    work: tuple[StoredRow[Work], ...]
    events: tuple[StoredRow[ShownEvent], ...]
    load: tuple[StoredRow[Load], ...]
    choices: tuple[StoredRow[Choice], ...]
    consents: tuple[StoredRow[Consent], ...]
    disputes: tuple[Dispute, ...] = ()


def why(session: Session, name: str) -> SwimmerView:
    """Return the evidence behind one swimmer's verdict.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    learned = learned_priors(session)
    roster_evidence = learn_roster_evidence(session)
    with session.store.read() as reader:
        return view_in(
            reader, name, learned, roster_evidence, as_of=session.today, settings=session.settings
        )[0]


def view_in(
    reader: Reader,
    name: str,
    learned: LearnedPriors,
    roster_evidence: Mapping[str, FaultStatistics],
    *,
    as_of: dt.date,
    settings: Settings,
) -> tuple[SwimmerView, Club]:
    """Return the evidence out of one snapshot, and the swimmer's record as the pipeline takes it."""
    who = reader.swimmer(name).record
    label = who.swimmer
    habits = group_habits(reader, as_of)
    club = read_club(reader, swimmer=label, roster_evidence=roster_evidence, habits=habits)
    catalogue = {e.slug: e for e in full_catalogue(row.record for row in reader.all(OwnFault))}
    swims = tuple(row for row in reader.all(Swim, swimmer=label) if row.record.date <= as_of)
    steps = tuple(row for row in reader.all(FaultStep, swimmer=label) if row.record.date <= as_of)
    reviews = tuple(row for row in reader.all(ReviewItem, swimmer=label) if row.record.date <= as_of)
    work = tuple(row for row in reader.all(Work, swimmer=label) if row.record.from_date <= as_of)
    events = tuple(
        StoredRow(row.id, row.version, on_record(row.record, settings))
        for row in reader.all(Event, swimmer=label)
        if row.record.from_date <= as_of
    )
    load = tuple(row for row in reader.all(Load, swimmer=label) if row.record.week <= as_of)
    choices = tuple(row for row in reader.all(Choice, swimmer=label) if row.record.date <= as_of)
    given = [row for row in reader.all(Consent, swimmer=label) if row.record.date <= as_of]
    consents = tuple(_given(row, as_of) for row in given)
    line = roster(club, settings, as_of=as_of, learned=learned, detail=True)[0]
    known = timelines([row.record for row in steps], as_of, [row.record for row in reviews])
    counted = counted_swims((row.record for row in swims), line.verdict, settings)
    read = stroke_swims((row.record for row in swims), line.verdict, settings)
    own = OwnRecord(known, [row.record for row in work], read)
    line = grade_link(line, own, catalogue, roster_evidence)
    told = tuple(spell for timeline in known for spell in spells_of(timeline))
    view = SwimmerView(
        who,
        line,
        told,
        swims,
        tuple(counted),
        steps,
        reviews,
        work,
        events,
        load,
        choices,
        consents,
        tuple(dispute for timeline in known for dispute in timeline.disputes),
    )
    return view, club


def _given(consent: StoredRow[Consent], as_of: dt.date) -> StoredRow[Consent]:
    """Return a consent as it stood that day: what was withdrawn later was not withdrawn yet."""
    withdrawn = consent.record.withdrawn
    if withdrawn is None or withdrawn <= as_of:
        return consent
    return replace(consent, record=consent.record.model_copy(update={"withdrawn": None}))


def sources_of(session: Session, view: SwimmerView) -> tuple[tuple[Constant, ...], tuple[Source, ...]]:
    """Return the numbers from outside that a verdict rests on, and the sources of them and of the faults."""
    with session.store.read() as reader:
        catalogue = {e.slug: e for e in full_catalogue(row.record for row in reader.all(OwnFault))}
    found = constants_used(view.line, view.counted)
    return found, sources_used(found, dict.fromkeys(spell.fault for spell in view.spells), catalogue)


def explain(session: Session, name: str) -> list[Section]:
    """Return everything behind one swimmer's verdict as titled groups of sentences.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    *_, whole = explain_in_stages(session, name)
    return whole


def explain_in_stages(session: Session, name: str) -> Iterator[list[Section]]:
    """Yield the groups without the closer look, which takes about a second, and then with it.

    All of it comes from one snapshot; raises as `explain` does.
    """
    learned = learned_priors(session)
    roster_evidence = learn_roster_evidence(session)
    with session.store.read() as reader:
        view, club = view_in(
            reader, name, learned, roster_evidence, as_of=session.today, settings=session.settings
        )
        names = names_in(reader)
        label = view.swimmer.swimmer
        looks = looks_in(reader, label, as_of=session.today)
        entries = {entry.slug: entry for entry in full_catalogue(row.record for row in reader.all(OwnFault))}
    uncorrected = [entries[spell.fault] for spell in view.spells if spell.ends is None]
    sections = why_sections(
        view.line,
        view.spells,
        [row.record for row in view.work],
        in_evidence(
            (event for event in club.events.get(label, ()) if event.from_date <= session.today),
            session.settings,
        ),
        names=names,
        as_of=session.today,
        fault_care=[entry.caution for entry in uncorrected if entry.caution],
    )
    early = for_now(session, view)
    if early:
        sections.insert(1, ("For now", early))
    if view.disputes:
        said = [dispute_line(one, names, session.today) for one in view.disputes]
        sections.insert(-1, ("Reviewers who disagree", said))
    if looks.changes:
        said = [
            *look_lines(looks.changes, session.today),
            *beside_the_club(looks.changes, looks.norms, looks.errors),
        ]
        sections.insert(-1, ("Looks, each reviewer apart", said))
    yield list(sections)
    closer = _closer_look(view, club, learned, as_of=session.today, settings=session.settings)
    if closer is not None and view.line.verdict is not None:
        sections[-1:-1] = second_look_sections(closer, view.line.verdict, view.line.due.held_by)
    yield sections


def _closer_look(
    view: SwimmerView, club: Club, learned: LearnedPriors, *, as_of: dt.date, settings: Settings
) -> SecondLook | None:
    """Return the closer look at a swimmer; None without a usable test."""
    if view.line.verdict is None:
        return None
    rows, _ = rows_from_swims(club.swims, settings, until=as_of)
    if rows is None:
        return None
    jumps = jump_days(club.events.get(view.swimmer.swimmer, ()), as_of)
    case = examine(rows, learned, settings, events=jumps)
    return second_look(case, view.line.verdict, settings)


def for_now(session: Session, view: SwimmerView) -> list[str]:
    """Return what is useful while no word is said: a recent CSS, the noise so far."""
    css, day = latest_css(view.counted, as_of=session.today, settings=session.settings)
    own = view.line.verdict.own_noise if view.line.verdict else None
    said = None if css is None or day is None else (css_sentence(css, own=own), day)
    return first_weeks(view.line.verdict, said)


@dataclass(frozen=True)
class Effects:
    """All effects, those over all faults first; `side_by_side` are those by fault, drawn towards none."""

    all: tuple[Effect, ...]
    side_by_side: tuple[Shrunk, ...]


def estimate_effects(session: Session, *, fault: str = "") -> Effects:
    """Return the effects of what was changed up to today, against one fault or all."""
    learned = learned_priors(session)
    with session.store.read() as reader:
        evidence = evidence_of(reader, learned, as_of=session.today, settings=session.settings).evidence
    if fault:
        return Effects(evidence.effects_on(fault), ())
    found = evidence.effects()
    by_fault = [effect for effect in found if effect.fault and effect.kind == ChangeKind.CORRECTION]
    return Effects(found, shrunk(by_fault))
