"""Why a verdict is what it is, as titled sentences: the same on the command line and on the screen."""

from __future__ import annotations

import datetime as dt

from tracker.output.closer_words import closer_sections, first_weeks
from tracker.output.css_words import css_sentence
from tracker.output.look_words import look_lines
from tracker.output.why_text import Section, why_sections
from tracker.records.css import TRIAL_ERROR
from tracker.series.events import jump_days
from tracker.series.from_swims import rows_from_swims
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.compare_looks import compare_looks
from tracker.usecases.fault_names import fault_names
from tracker.usecases.propose_next import latest_css
from tracker.usecases.read_club import read_club
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.why import SwimmerView, why
from tracker.verdict.closer import Closer, look_closer
from tracker.verdict.judge import examine


def closer_look(store: Store, view: SwimmerView, *, as_of: dt.date, settings: Settings) -> Closer | None:
    """Return the closer look at a swimmer; None without a usable test. Takes about a second."""
    if view.line.verdict is None:
        return None
    taught = roster_teaching(store, as_of=as_of, settings=settings)
    with store.read() as reader:
        club = read_club(reader, swimmer=view.swimmer.swimmer)
    rows, _ = rows_from_swims(club.swims, settings, until=as_of)
    if rows is None:
        return None
    jumps = jump_days((kept.record for kept in view.events), as_of)
    case = examine(rows, taught, settings, events=jumps)
    return look_closer(case, view.line.verdict, settings)


def explain(store: Store, name: str, *, as_of: dt.date, settings: Settings) -> list[Section]:
    """Return everything behind one swimmer's verdict as titled groups of sentences.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    view = why(store, name, as_of=as_of, settings=settings)
    sections = why_sections(
        view.line,
        view.spells,
        [kept.record for kept in view.work],
        [kept.record for kept in view.events],
        names=fault_names(store),
        as_of=as_of,
        health=settings.health,
    )
    early = for_now(view)
    if early:
        sections.insert(1, ("For now", early))
    looks = compare_looks(store, view.swimmer.swimmer, as_of=as_of)
    if looks:
        sections.insert(-1, ("Looks, each reviewer apart", look_lines(looks, as_of)))
    closer = closer_look(store, view, as_of=as_of, settings=settings)
    if closer is not None and view.line.verdict is not None:
        sections[-1:-1] = closer_sections(closer, view.line.verdict)
    return sections


def for_now(view: SwimmerView) -> list[str]:
    """Return what is useful while it is too early for a verdict: the latest CSS, the noise so far."""
    css, day = latest_css([kept.record for kept in view.swims])
    error = TRIAL_ERROR if view.line.verdict is None else view.line.verdict.noise_pct / 100.0
    said = None if css is None or day is None else (css_sentence(css, error), day)
    return first_weeks(view.line.verdict, said)
