"""Sentences on the link, its confounders and events."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import TYPE_CHECKING, assert_never

from tracker.model.event_kinds import EventKind
from tracker.model.units import plain_number
from tracker.model.vocabularies import State, Step
from tracker.output.sentences.evidence import ground_sentence
from tracker.output.sentences.numbers import capital, count, day, listed, number, span
from tracker.technique.link import Candidate, Confounder, Evidence, Finding, How, Link, seen_late

if TYPE_CHECKING:
    from tracker.model.event import Load
    from tracker.model.fault import FaultStep
    from tracker.model.work import Work
    from tracker.technique.privacy import ShownEvent

NO_FAULT = "No uncorrected fault on record; a review is due."
NO_FAULT_THEN = "No uncorrected fault was on record."

FaultNames = Mapping[str, str]
"""Short name -> plain name, the coach's own faults included."""


def fault_name(fault: str, side: str, names: FaultNames) -> str:
    """Return "breath comes late, left"; an unknown short name stands for itself."""
    name = names.get(fault, fault)
    return f"{name}, {side}" if side else name


def short_link(link: Link | None) -> str:
    """Return the link as one cell of a table: short name, side and state."""
    if link is None:
        return ""
    if link.fault is None:
        return "no fault on record"
    side = f":{link.side}" if link.side else ""
    when = " (seen after it began)" if link.how == How.DURING else f" ({state_words(link)})"
    return f"{link.fault}{side}{when}"


def link_sentence(link: Link, names: FaultNames, as_of: dt.date, *, look_due: bool = True) -> str:
    """Return the link in one sentence; its evidence and confounders stand in sentences of their own.

    `look_due`: whether a look is due, which only a link without a fault says.
    """
    if link.how == How.NONE or link.fault is None or link.opened is None:
        return NO_FAULT if look_due else NO_FAULT_THEN
    name = fault_name(link.fault, link.side or "", names)
    opened = day(link.opened, as_of)
    if link.how == How.DURING:
        return f"Nothing uncorrected was on record when it began. Seen after it began: {name} ({opened})."
    until = " until it was corrected" if link.state_now == State.CORRECTED else ""
    days = f"{count(link.days_open, 'day')}{until}" if link.days_open is not None else ""
    if seen_late(link.opened, link.began):
        again = "seen again" if link.state == State.BACK else "first seen"
        span_words = "one of the days on which the stretch may have begun"
        open_for = f"; uncorrected for {days}" if days else ""
        state = f"{state_words(link)}; {again} {opened}, {span_words}{open_for}"
        when = "may have begun"
    else:
        state = f"{state_words(link)}; on record since {', '.join(filter(None, (opened, days)))}"
        when = "began"
    if link.state == State.PARKED:
        return f"Nothing else was uncorrected when it {when}. Left on purpose: {name} ({state})."
    return f"Left uncorrected when it {when}: {name} ({state})."


def state_words(link: Link) -> str:
    """Return where the fault stood when the stretch began or when it was seen, and now if elsewhere."""
    if link.state_now is None or link.state_now == link.state:
        return str(link.state)
    then = "when seen" if seen_late(link.opened, link.began) else "then"
    return f"{link.state} {then}, {link.state_now} now"


def evidence_sentence(link: Link) -> str:
    """Return how far the record bears the link out; empty without a link."""
    return "" if link.fault is None else grade_words(link.evidence)


def grade_words(grade: Evidence) -> str:
    """Return a grade of evidence as a sentence; empty for none."""
    match grade:
        case Evidence.NONE:
            return ""
        case Evidence.ON_RECORD:
            return (
                "Evidence: weak. That the stretch began near a day on which it was seen is less likely "
                "than not."
            )
        case Evidence.COINCIDES:
            return "Evidence: coincides in time, no more."
        case Evidence.CONSISTENT:
            return "Evidence: coincides in time, and consistent with what the roster or a correction showed."
        case Evidence.ROSTER:
            return "Evidence: coincides in time, and supported by the comparison with others of the roster."
        case Evidence.RANDOMISED:
            return "Evidence: coincides in time, and supported by corrections whose date was drawn by lot."
        case other:
            assert_never(other)


def ground_lines(link: Link, as_of: dt.date) -> list[str]:
    """Return what a link's grade rests on, and what else bears on it."""
    return [ground_sentence(ground, as_of) for ground in link.grounds]


def also_sentence(link: Link, names: FaultNames, as_of: dt.date) -> str:
    """Return the other candidates, in order; empty without any."""
    if not link.also:
        return ""
    also = listed([_candidate(other, link.began, names, as_of) for other in link.also])
    return f"Also uncorrected then: {also}."


def said_sentence(link: Link, names: FaultNames) -> str:
    """Return the faults that count as corrected by hearsay; empty without any."""
    if not link.said_corrected:
        return ""
    said = [fault_name(fault.fault, fault.side, names) for fault in link.said_corrected]
    return f"Said to be corrected, seen by no reviewer: {listed(said)}."


def _candidate(candidate: Candidate, began: dt.date | None, names: FaultNames, as_of: dt.date) -> str:
    late = seen_late(candidate.opened, began)
    seen = f", seen {day(candidate.opened, as_of)}" if late else ""
    return f"{fault_name(candidate.fault, candidate.side, names)} ({candidate.state}{seen})"


def confounders_sentence(link: Link, as_of: dt.date) -> str:
    """Return what else happened near the onset; says so where nothing is on record."""
    if not link.confounders:
        return "Nothing else is on record near the onset."
    words = [confounder_words(one, as_of) for one in link.confounders]
    return f"Also near the onset: {listed(words)}."


def confounder_words(confounder: Confounder, as_of: dt.date) -> str:
    """Return a confounder as a clause: its name, and the detail after a colon."""
    what, detail = confounder.what, confounder.detail
    words = f"{what.about.plain}: {detail}" if detail else what.about.plain
    if what in {Finding.LESS_SWUM, Finding.MORE_SWUM, Finding.FAULTS_IN_WORK} and detail:
        words = f"{detail} {what.about.plain}"
    if confounder.begins is None:
        return words
    if confounder.ends is None:
        return f"{words} ({day(confounder.begins, as_of)})"
    return f"{words} ({span(confounder.begins, confounder.ends, as_of)})"


def confounder_sentence(confounder: Confounder, as_of: dt.date) -> str:
    """Return a confounder as a sentence: what happened when, or what changed from what to what."""
    what, begins = confounder.what, confounder.begins
    if isinstance(what, EventKind) or begins is None:
        return f"{capital(confounder_words(confounder, as_of))}."
    when = day(begins, as_of)
    match what:
        case Finding.HOUR:
            return f"The tests moved to another hour of the day on {when}: {confounder.detail}."
        case Finding.EFFORT:
            return f"The tests were swum with another effort from {when} on: {confounder.detail}."
        case Finding.TAPER:
            return f"Tapered tests: {span(begins, confounder.ends or begins, as_of)}."
        case Finding.GAP:
            return f"Weeks without a swim: {span(begins, confounder.ends or begins, as_of)}."
        case (
            Finding.LESS_SWUM
            | Finding.MORE_SWUM
            | Finding.FAULTS_IN_WORK
            | Finding.BREAK
            | Finding.PROTOCOL
            | Finding.FEWER_TESTS
            | Finding.SEASON
        ):
            return f"{capital(confounder_words(confounder, as_of))}."
        case other:
            assert_never(other)


def link_lines(
    link: Link | None,
    names: FaultNames,
    as_of: dt.date,
    *,
    look_due: bool = True,
    grounds: bool = True,
) -> list[str]:
    """Return everything said about a link, the sentence itself first; empty where there is no link.

    Parameters
    ----------
    look_due
        Whether a look is due: not for a stretch that has ended, nor soon after the last look.
    grounds
        Whether to say what the grade rests on.
    """
    if link is None:
        return []
    lines = [
        link_sentence(link, names, as_of, look_due=look_due),
        evidence_sentence(link),
        *(ground_lines(link, as_of) if grounds else ()),
        also_sentence(link, names, as_of),
        said_sentence(link, names),
        confounders_sentence(link, as_of),
    ]
    return [capital(line) for line in lines if line]


def event_words(event: ShownEvent) -> str:
    """Return an event in a few words: its kind, and its note's first line."""
    label, note = event.kind.about.label, event.note.split("\n")[0]
    return f"{label}: {note}" if note else label


def load_words(load: Load) -> str:
    """Return "week of 2026-06-22: 3 sessions, 7300 m"."""
    sessions = count(load.sessions, "session") if load.sessions is not None else ""
    metres = f"{plain_number(load.metres)} m" if load.metres is not None else ""
    return f"week of {load.week}: {', '.join(part for part in (sessions, metres) if part)}"


def work_words(work: Work) -> str:
    """Return "cue: face back first" or "drill: side kick, 2 a week"."""
    often = f", {number(work.per_week, 1)} a week" if work.per_week else ""
    return f"{work.kind}: {work.text}{often}"


def work_line(work: Work, names: FaultNames, as_of: dt.date) -> str:
    """Return a cue or a drill with its dates and the fault it answers."""
    against = f", against {fault_name(work.fault, '', names)}" if work.fault else ""
    ends = work.to_date if work.to_date is None or work.to_date <= as_of else None
    return f"{work_words(work)}{against} ({span(work.from_date, ends, as_of)})"


def step_line(step: FaultStep, names: FaultNames, as_of: dt.date) -> str:
    """Return one step of a fault's timeline with its day and who saw it."""
    by = f" ({step.reviewer})" if step.reviewer else ""
    what = _step_words(step.step, seen=bool(step.reviewer))
    return f"{day(step.date, as_of)}: {fault_name(step.fault, step.side, names)}, {what}{by}"


def _step_words(step: Step, *, seen: bool) -> str:
    """Return what a step is; whether a reviewer has seen it."""
    hearsay = "" if seen else ", no reviewer"
    match step:
        case Step.OPEN:
            return f"seen for the first time{hearsay}"
        case Step.SEEN:
            return f"seen again{hearsay}"
        case Step.WORK:
            return f"taken into work{hearsay}"
        case Step.PARKED:
            return f"left on purpose{hearsay}"
        case Step.CORRECTED | Step.BACK:
            return step if seen else f"said to be {step}"
        case other:
            assert_never(other)
