"""The coach's summary of a month over a group or the whole roster, as files."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from tracker.app.learned_priors import learned_priors
from tracker.app.pages import PagesMade
from tracker.app.read_evidence import RosterRecord, evidence_of
from tracker.app.roster_evidence import learn_roster_evidence
from tracker.app.session import Session
from tracker.app.told import tell, told_by
from tracker.engine.verdict.judge import LearnedPriors
from tracker.errors import UsageError
from tracker.model.text import clean_line
from tracker.model.vocabularies import ToldBy
from tracker.output.glyphs import boxes_remark
from tracker.output.pages.file_names import slug
from tracker.output.pages.rendering import Format, PageOptions, render_page
from tracker.output.pages.roster_page import RosterMonth, roster_page
from tracker.output.pages.typeset import Paper
from tracker.output.sentences.effects import effect_line
from tracker.output.sentences.numbers import month_name
from tracker.output.whole_files import whole_file
from tracker.settings import Settings
from tracker.technique.fault_timeline import spells
from tracker.technique.pipeline import roster

MOST_EFFECTS: Final = 6
ROSTER_PAGE: Final = "the roster page"
"""Whose a remark is that is about no swimmer."""


def make_roster_page(
    session: Session,
    month: dt.date,
    *,
    out: Path,
    group: str | None = None,
    formats: tuple[Format, ...] = ("pdf",),
    paper: Paper = "a4",
) -> PagesMade:
    """Write the summary of a month; that of the same group and month is replaced. What it tells is kept.

    Raises
    ------
    UsageError
        If the month has not begun, or nobody is on the roster.
    SlackwaterError
        If the folder cannot be written.
    """
    first = month.replace(day=1)
    if first > session.today:
        raise UsageError(
            f"{month_name(first)} has not begun on {session.today.isoformat()}; name an earlier month"
        )
    until = min(first.replace(day=calendar.monthrange(first.year, first.month)[1]), session.today)
    then = replace(session, today=until)
    learned = learned_priors(then)
    roster_evidence = learn_roster_evidence(then)
    with session.store.read() as reader:
        record = evidence_of(
            reader,
            learned,
            as_of=until,
            settings=session.settings,
            roster_evidence=roster_evidence,
            group=group,
        )
    if not record.lines:
        raise UsageError("there is nobody to make a page for; is the group's name right?")
    content = _month(record, learned, group or "", (first, until), session.settings)
    made = render_page(
        ROSTER_PAGE, lambda: roster_page(content, session.today), PageOptions(formats, session.today, paper)
    )
    stem = "-".join(part for part in ("roster", slug(group or ""), f"{first:%Y-%m}") if part)
    written = []
    for ending, content_bytes in made.files.items():
        path = out / f"{stem}.{ending}"
        with whole_file(path, force=True) as stream:
            stream.write(content_bytes)
        written.append(path)
    if written:
        told = told_by(record.lines.values(), session, ToldBy.SUMMARY)
        tell(session, told, f"keep what the summary of {month_name(first)} told")
    failed = tuple((ROSTER_PAGE, reason) for reason in made.failures)
    return PagesMade(tuple(written), failed, boxed=_boxed(made.boxed, record.lines))


def _boxed(letters: Sequence[str], names: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Return whose names are drawn with boxes; what stands in no name is the page's own."""
    theirs = {name: tuple(letter for letter in letters if letter in clean_line(name)) for name in names}
    in_names = {letter for own in theirs.values() for letter in own}
    theirs[ROSTER_PAGE] = tuple(letter for letter in letters if letter not in in_names)
    return tuple((name, boxes_remark(own)) for name, own in theirs.items() if own)


def _month(
    record: RosterRecord,
    learned: LearnedPriors,
    group: str,
    span: tuple[dt.date, dt.date],
    settings: Settings,
) -> RosterMonth:
    """Return what the summary is made from: the roster now, and its verdicts a month before."""
    first, until = span
    club = record.club
    before = roster(club, settings, as_of=first - dt.timedelta(days=1), learned=learned)
    names = {slug: fault.name for slug, fault in record.catalogue.items()}
    return RosterMonth(
        month=first,
        as_of=until,
        group=group,
        lines=list(record.lines.values()),
        names=names,
        before={line.swimmer: line.verdict.verdict for line in before if line.verdict is not None},
        spells={
            name: spells(club.steps.get(name, ()), until, club.reviews.get(name, ())) for name in record.lines
        },
        looked=frozenset(
            name for name, one in record.people.items() if any(day <= until for day, _ in one.looks)
        ),
        effects=_effects(record, names),
    )


def _effects(record: RosterRecord, names: Mapping[str, str]) -> list[str]:
    """Return what is known of corrections, cues and drills; the counts of corrections if nothing is."""
    found = [effect for effect in record.evidence.effects() if effect.tried]
    known = [effect for effect in found if effect.gain is not None] or found[:1]
    return [effect_line(effect, names) for effect in known[:MOST_EFFECTS]]
