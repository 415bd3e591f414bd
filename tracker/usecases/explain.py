"""Why a verdict is what it is, as titled sentences: the same on the command line and on the screen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from tracker.output.closer_words import closer_sections, first_weeks
from tracker.output.css_words import css_sentence
from tracker.output.look_words import look_lines
from tracker.output.why_text import Section, why_sections
from tracker.pipeline import Club
from tracker.records.css import TRIAL_ERROR
from tracker.series.events import jump_days
from tracker.series.from_swims import rows_from_swims
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.compare_looks import looks_in
from tracker.usecases.fault_names import names_in
from tracker.usecases.propose_next import latest_css
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.weigh_roster import weigh_roster
from tracker.usecases.why import SwimmerView, view_in
from tracker.verdict.closer import Closer, look_closer
from tracker.verdict.judge import Taught, examine


def explain(store: Store, name: str, *, as_of: dt.date, settings: Settings) -> list[Section]:
    """Return everything behind one swimmer's verdict as titled groups of sentences.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    *_, whole = explain_in_stages(store, name, as_of=as_of, settings=settings)
    return whole


def explain_in_stages(
    store: Store, name: str, *, as_of: dt.date, settings: Settings
) -> Iterator[list[Section]]:
    """Yield the groups without the closer look, which takes about a second, and then with it.

    All that is said of the swimmer is out of one snapshot; raises as `explain` does.
    """
    taught = roster_teaching(store, as_of=as_of, settings=settings)
    weighed = weigh_roster(store, as_of=as_of, settings=settings)
    with store.read() as reader:
        view, club = view_in(reader, name, taught, weighed, as_of=as_of, settings=settings)
        names = names_in(reader)
        looks = looks_in(reader, view.swimmer.swimmer, as_of=as_of)
    sections = why_sections(
        view.line,
        view.spells,
        [kept.record for kept in view.work],
        [kept.record for kept in view.events],
        names=names,
        as_of=as_of,
        health=settings.health,
    )
    early = for_now(view, as_of=as_of, settings=settings)
    if early:
        sections.insert(1, ("For now", early))
    if looks:
        sections.insert(-1, ("Looks, each reviewer apart", look_lines(looks, as_of)))
    yield list(sections)
    closer = _closer_look(view, club, taught, as_of=as_of, settings=settings)
    if closer is not None and view.line.verdict is not None:
        sections[-1:-1] = closer_sections(closer, view.line.verdict)
    yield sections


def _closer_look(
    view: SwimmerView, club: Club, taught: Taught, *, as_of: dt.date, settings: Settings
) -> Closer | None:
    """Return the closer look at a swimmer; None without a usable test."""
    if view.line.verdict is None:
        return None
    rows, _ = rows_from_swims(club.swims, settings, until=as_of)
    if rows is None:
        return None
    jumps = jump_days((kept.record for kept in view.events), as_of)
    case = examine(rows, taught, settings, events=jumps)
    return look_closer(case, view.line.verdict, settings)


def for_now(view: SwimmerView, *, as_of: dt.date, settings: Settings) -> list[str]:
    """Return what is useful while it is too early for a verdict: a recent CSS, the noise so far."""
    css, day = latest_css(view.counted, as_of=as_of, settings=settings)
    error = TRIAL_ERROR if view.line.verdict is None else view.line.verdict.noise_pct / 100.0
    said = None if css is None or day is None else (css_sentence(css, error), day)
    return first_weeks(view.line.verdict, said)
