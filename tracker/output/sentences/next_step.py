"""Sentences on what to do next and when."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Final, assert_never

from tracker.model.vocabularies import CostKnown, Depends, WorkKind
from tracker.output.sentences.due import chosen_words, due_lines
from tracker.output.sentences.link import FaultNames, fault_name
from tracker.output.sentences.numbers import capital, count, day
from tracker.technique.link import How
from tracker.technique.next_reasons import (
    AllLeft,
    Answer,
    AsARule,
    ChosenByCoach,
    Cost,
    DrawnLater,
    DrawnNow,
    FedBy,
    Feeds,
    GoingWell,
    HeldBackNow,
    InWork,
    LeaveReason,
    Linked,
    LongInWork,
    NoLookYet,
    NothingOnRecord,
    OneAtATime,
    Parked,
    ProposalReason,
    RaceSoon,
    RankReason,
    ReviewFirst,
    Severity,
    StepReason,
    Tried,
)
from tracker.technique.ranking import OtherSide

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tracker.technique.due import Due
    from tracker.technique.next_step import LeftForNow, NextStep, Proposal
    from tracker.technique.offers import NotOffered, ToStop

ASK: Final = "a physiotherapist or doctor"
DRILLS_REST: Final = f"  Do: none of its drills, they load what is hurt; ask {ASK} what is left."


def next_lines(step: NextStep, names: FaultNames, as_of: dt.date) -> list[str]:
    """Return the proposal line by line, the thing to work on first."""
    lines = [_step_reason(reason) for reason in step.reasons]
    for title, proposal in (("Work on", step.first), ("And", step.second)):
        if proposal is not None:
            lines += proposal_lines(title, proposal, names, as_of)
    lines += [left_line(left, names, as_of) for left in step.leave]
    lines += due_lines(step.due, names, as_of)
    return [line for line in lines if line]


def proposal_lines(title: str, proposal: Proposal, names: FaultNames, as_of: dt.date) -> list[str]:
    """Return what to work on, with cue, drill and reasons."""
    first = OtherSide(proposal.side, proposal.state, proposal.severity)
    why = [text for reason in proposal.reasons if (text := _proposal_reason(reason, names, as_of))]
    return [
        f"{title}: {_how_it_stands(proposal.fault, (first, *proposal.others), names)}.",
        f"  Think: {proposal.cue}" if proposal.cue else "",
        f"  Do: {proposal.drill}" if proposal.drill else DRILLS_REST if proposal.drills_rest else "",
        *(f"  {_stop_line(ending, proposal.fault, names)}" for ending in proposal.stop),
        *(f"  {_not_offered(one)}" for one in proposal.not_offered),
        f"  Why: {capital('; '.join(why))}." if why else "",
    ]


def _stop_line(ending: ToStop, fault: str, names: FaultNames) -> str:
    what = "this" if ending.fault == fault else fault_name(ending.fault, "", names)
    if ending.kind is WorkKind.CUE:
        return f'Stop: the cue "{ending.text}"; overdone, it can bring {what} about.'
    return f'Stop: the drill "{ending.text}"; it can bring {what} about (common practice).'


def _not_offered(own: NotOffered) -> str:
    return (
        f'Not offered here: the {own.kind} "{own.text}"; what holds the breath or stays under water is never '
        "proposed."
    )


def _held_back(held: HeldBackNow) -> str:
    """Return what is left while something on record holds back; names no part of the body."""
    arms = "paddles, bands, pulling, sculling, one arm alone" if held.arms else ""
    named = (("an injury", held.injured), ("an illness", held.ill), ("a pregnancy", held.pregnant))
    why = " and ".join(what for what, so in named if so)
    out = ", ".join(filter(None, ("maximal tests", "hard sets", arms)))
    ask = "a midwife or doctor" if held.pregnant and not held.injured else ASK
    return (
        f"{capital(why)} on record: leave out {out}. What is left is easy swimming and what is named here, "
        f"as far as it does not hurt; ask {ask} first."
    )


def test_title(name: str, *, shorter: bool) -> str:
    """Return the heading of a test's protocol; `shorter` where it stands for a longer one."""
    young = "; 200 or 400 m under 14 (common practice, no source), not the longer test" if shorter else ""
    return f"The test: {name}{young}"


def no_sets(due: Due) -> str:
    """Return why no set paces are given; empty where they are."""
    if due.held_by.may_swim_sets:
        return ""
    if due.held_by.may_test:
        return "none here; paces and rests of adults do not carry over to under 18 (common practice)."
    return "none for now; what is logged on health holds hard sets back."


def left_line(left: LeftForNow, names: FaultNames, as_of: dt.date) -> str:
    """Return one fault to leave and why."""
    sides = [OtherSide(side.side, side.state, None) for side in left.others]
    stands = _how_it_stands(left.fault, (OtherSide(left.side, left.state, None), *sides), names)
    return f"Leave: {stands}: {_leave_reason(left.reason, names, as_of)}."


def _how_it_stands(fault: str, sides: Sequence[OtherSide], names: FaultNames) -> str:
    """Return "hand crosses at entry, left and right (open, severity 2)", each side apart if they differ."""
    in_order = sorted(sides, key=lambda one: one.side)
    said = [f"{one.state}{f', severity {one.severity}' if one.severity else ''}" for one in in_order]
    if len(set(said)) > 1:
        said = [f"{one.side or 'no side said'}: {text}" for one, text in zip(in_order, said, strict=True)]
    where = " and ".join(one.side or "no side said" for one in in_order) if len(sides) > 1 else sides[0].side
    return f"{fault_name(fault, where, names)} ({'; '.join(dict.fromkeys(said))})"


def _proposal_reason(reason: ProposalReason, names: FaultNames, as_of: dt.date) -> str:
    """Return why a fault is to be worked on, as a clause; empty where there is nothing to say."""
    match reason:
        case ChosenByCoach(by, why, date, until):
            return chosen_words(by, date, until, as_of) + _first_line(why)
        case DrawnNow(starts) | DrawnLater(starts):
            return _drawn(starts, as_of)
        case Feeds(fault, how, source):
            return f"it {_hangs(how)} {fault_name(fault, '', names)} ({_by(source)})"
        case _:
            return _rank_reason(reason, as_of)


def _rank_reason(reason: RankReason, as_of: dt.date) -> str:
    match reason:
        case Linked():
            return f"{_linked(reason)} ({reason.evidence})"
        case Severity(severity):
            return f"severity {severity}" if severity else ""
        case Cost(known):
            return _cost(known)
        case Answer(answers):
            return f"usually a {answers} answer (common practice)" if answers else ""
        case InWork(weeks, since):
            return f"in work since {day(since, as_of)}, {count(weeks, 'week')}; give it time"
        case LongInWork(weeks, since):
            return f"in work since {day(since, as_of)}, {count(weeks, 'week')}, without a correction seen"
        case Tried(times):
            return f"tried before: {count(times, 'cue or drill', 'cues or drills')} stopped"
        case other:
            assert_never(other)


def _linked(reason: Linked) -> str:
    if reason.late:
        return "it was seen within the span in which the line may have gone flat"
    match reason.how:
        case How.BEFORE:
            return "it was left uncorrected when the line went flat"
        case How.DURING:
            return "it was the first seen after the line went flat"
        case How.NONE:
            raise ValueError("a fault that no stretch is linked to is no reason")
        case other:
            assert_never(other)


def _cost(known: CostKnown) -> str:
    match known:
        case CostKnown.MEASURED:
            return "its cost was measured"
        case CostKnown.INDIRECT:
            return "its own cost is not known; something near it was measured to cost speed"
        case CostKnown.NONE:
            return ""
        case other:
            assert_never(other)


def _leave_reason(reason: LeaveReason, names: FaultNames, as_of: dt.date) -> str:
    """Return why a fault is left for now, as a clause."""
    match reason:
        case Parked(why, since):
            return f"left on purpose since {day(since, as_of)}{_first_line(why)}"
        case DrawnLater(starts):
            return _drawn(starts, as_of)
        case AsARule(why):
            text = why.rstrip(".")
            return text[:1].lower() + text[1:]
        case RaceSoon(date):
            return f"nothing slow to change is begun so near the race of {day(date, as_of)}"
        case FedBy(fault, how, source):
            return f"first {fault_name(fault, '', names)}, which {_hangs(how)} it ({_by(source)})"
        case OneAtATime():
            return "one thing at a time"
        case other:
            assert_never(other)


def _hangs(how: Depends) -> str:
    match how:
        case Depends.LEADS_TO:
            return "feeds"
        case Depends.COMES_BEFORE:
            return "comes before"
        case other:
            assert_never(other)


def _by(source: str) -> str:
    """Return who says so, briefly: the study without its figures."""
    return source.split(":", maxsplit=1)[0].removesuffix(", no source")


def _step_reason(reason: StepReason) -> str:
    """Return why there is nothing to work on, or what to bear in mind beside it."""
    match reason:
        case HeldBackNow():
            return _held_back(reason)
        case GoingWell():
            return "It goes well: keep on."
        case AllLeft(faults):
            return (
                f"Nothing to work on now: {count(faults, 'fault')} on record, left on purpose or for later."
            )
        case ReviewFirst():
            return "Nothing to work on yet: no uncorrected fault is on record, and a look comes first."
        case NoLookYet():
            return "No look on record yet: have one first."
        case NothingOnRecord():
            return "Nothing to work on: no uncorrected fault is on record."
        case other:
            assert_never(other)


def _first_line(why: str) -> str:
    return f": {why.splitlines()[0]}" if why else ""


def _drawn(starts: dt.date, as_of: dt.date) -> str:
    return f"drawn by lot to start on {day(starts, as_of)}"


def drawn_line(swimmer: str, fault: str, starts: dt.date, as_of: dt.date) -> str:
    """Return "Ines Aalto: breath comes late, left; drawn by lot to start on 22 September"."""
    return f"{swimmer}: {fault}; {_drawn(starts, as_of)}."


def power_words(swimmers: int, smallest: float | None) -> str:
    """Return what a draw of so many swimmers could show, before it is made."""
    if smallest is None:
        return "With nobody in one half no effect can be shown; draws of other days are pooled with it."
    half = swimmers // 2
    return (
        f"Before it starts: with {half} against {count(swimmers - half, 'swimmer')} the smallest effect "
        f"this draw can show is about {smallest:.1f} % a month (80 % power, one-sided 5 %); draws of other "
        "days are pooled with it."
    )
