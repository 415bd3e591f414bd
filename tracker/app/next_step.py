"""What a swimmer works on next, what to leave, when to test and look again; with the graded link."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from tracker.app.learned_priors import learned_priors
from tracker.app.read_evidence import OwnRecord, RosterRecord, evidence_of, grade_link
from tracker.app.roster_evidence import learn_roster_evidence
from tracker.app.session import Session
from tracker.engine.verdict.counted_swims import counted_swims, stroke_swims
from tracker.errors import SlackwaterError
from tracker.model.css import Css, critical_speed
from tracker.model.swim import Swim
from tracker.model.swim_test import BUILT_IN, SHORT_TEST, SwimTest, in_open_water
from tracker.model.units import OPEN_WATER
from tracker.settings import Settings
from tracker.technique.attention import RosterLine
from tracker.technique.next_step import NextStep, NextStepInput, next_step


@dataclass(frozen=True)
class NextStepView:
    """The proposal with what it rests on; `line.link` is graded in full.

    Attributes
    ----------
    css
        The latest critical swim speed of a 400 and a 200 of one day; None if there is no recent one.
    test
        The protocol swum most of late, as it is swum in the water of the last swim; None if none was swum.
    shorter
        Whether it stands for a longer one, since the swimmer may be under 14.
    """

    line: RosterLine
    step: NextStep
    css: Css | None
    css_date: dt.date | None
    test: SwimTest | None
    shorter: bool = False


def propose_next(session: Session, name: str) -> NextStepView:
    """Return the proposal for one swimmer.

    Raises
    ------
    UnknownNameError
        If nobody is called so.
    """
    with session.store.read() as reader:
        label = reader.swimmer(name).record.swimmer
        swims = [row.record for row in reader.all(Swim, swimmer=label) if row.record.date <= session.today]
        own_tests = [row.record for row in reader.all(SwimTest)]
    learned = learned_priors(session)
    roster_evidence = learn_roster_evidence(session)
    with session.store.read() as reader:
        record = evidence_of(
            reader,
            learned,
            as_of=session.today,
            settings=session.settings,
            roster_evidence=roster_evidence,
            name=label,
        )
    line = graded_line(record, label, swims, session.settings)
    counted = counted_swims(swims, line.verdict, session.settings)
    css, css_date = latest_css(counted, as_of=session.today, settings=session.settings)
    recent = _recent(swims, session.today, session.settings)
    usual = _usual(recent, own_tests)
    short = usual is not None and not line.due.held_by.may_swim(usual)
    test = SHORT_TEST if short else usual
    if test is not None and max(recent, key=lambda swim: swim.date).course == OPEN_WATER:
        test = in_open_water(test)
    step = step_of(record, line, as_of=session.today, settings=session.settings)
    return NextStepView(line, step, css, css_date, test, short)


def step_of(record: RosterRecord, line: RosterLine, *, as_of: dt.date, settings: Settings) -> NextStep:
    """Return the next step of one swimmer of a roster."""
    person = record.people[line.swimmer]
    known = NextStepInput(
        line.verdict,
        line.link,
        person.timelines,
        line.due,
        record.catalogue,
        person.work,
        record.club.events.get(line.swimmer, ()),
        person.choices,
        looked=bool(person.looks),
    )
    return next_step(known, as_of=as_of, settings=settings)


def graded_line(record: RosterRecord, label: str, swims: Sequence[Swim], settings: Settings) -> RosterLine:
    """Return a swimmer's line with the present link graded in full, by those of the swims that count."""
    person, line = record.people[label], record.lines[label]
    own = OwnRecord(person.timelines, person.work, stroke_swims(swims, line.verdict, settings))
    return grade_link(line, own, record.catalogue, record.club.roster_evidence)


def latest_css(
    swims: Sequence[Swim], *, as_of: dt.date, settings: Settings
) -> tuple[Css | None, dt.date | None]:
    """Return the last recent pair of a 400 and a 200 swum as one test in one course, and its day.

    Parameters
    ----------
    swims
        Those that count.
    """
    pairs: dict[tuple[dt.date, str, str], list[Swim]] = {}
    for swim in _recent(swims, as_of, settings):
        if swim.test == "css":
            pairs.setdefault((swim.date, swim.set_id, swim.course), []).append(swim)
    for (day, _, _), pair in sorted(pairs.items(), reverse=True):
        try:
            return critical_speed([swim.distance_m for swim in pair], [swim.time_s for swim in pair]), day
        except SlackwaterError:
            continue
    return None, None


def _recent(swims: Sequence[Swim], as_of: dt.date, settings: Settings) -> list[Swim]:
    return [swim for swim in swims if 0 <= (as_of - swim.date).days <= settings.recent_days]


def _usual(swims: Sequence[Swim], own: Sequence[SwimTest]) -> SwimTest | None:
    """Return the definition swum most often, the later one of equals."""
    days = Counter(test for _, test in {(swim.date, swim.test) for swim in swims if swim.test})
    definitions = {one.test: one for one in (*BUILT_IN, *own)}
    last = {swim.test: swim.date for swim in swims}
    known = [test for test in days if test in definitions]
    return definitions[max(known, key=lambda test: (days[test], last[test]))] if known else None
