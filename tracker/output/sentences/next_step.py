"""Sentences on what to do next and when."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Final

from tracker.output.sentences.link import FaultNames, fault_name
from tracker.output.sentences.numbers import capital, count, day

if TYPE_CHECKING:
    from tracker.technique.attention import Due
    from tracker.technique.choices import Chosen
    from tracker.technique.next_step import Left, NextStep, Proposal

NO_TEST: Final = "Next test: none for now; what is logged on health holds it back."


def due_lines(due: Due, names: FaultNames, as_of: dt.date) -> list[str]:
    """Return what is due when, a sentence each: the test, the look, a choice to be made again."""
    lines = [next_test(due, as_of), next_look(due.review, as_of), choose_again(due.over, names, as_of)]
    return [line for line in lines if line]


def next_test(due: Due, as_of: dt.date) -> str:
    """Return when the next test is due; that there is none for now if it is held back."""
    if due.held:
        return NO_TEST
    if due.test is None:
        return "Next test: as soon as you can; there is none on record."
    if due.race is None:
        return f"Next test: {_when(due.test, as_of)}."
    clear = f"no maximal test within {count(due.clear_days, 'day')} before the race of {day(due.race, as_of)}"
    return f"Next test: {day(due.test, as_of)}; {clear}."


def next_look(date: dt.date | None, as_of: dt.date) -> str:
    """Return when the next look at technique is due; empty where none is."""
    return "" if date is None else f"Next look at technique: {_when(date, as_of)}."


def choose_again(over: Chosen | None, names: FaultNames, as_of: dt.date) -> str:
    """Return the choice that ended and is to be made again; empty where none is."""
    if over is None:
        return ""
    why = f" ({over.why.splitlines()[0]})" if over.why else ""
    chosen = chosen_words(over.by, over.date, over.until, as_of)
    return f"Choose again: {fault_name(over.fault, over.side, names)}, {chosen}{why}."


def chosen_words(by: str, date: dt.date, until: dt.date, as_of: dt.date) -> str:
    """Return "chosen by Teo on 15 June until 7 September"."""
    return f"chosen by {by or 'the coach'} on {day(date, as_of)} until {day(until, as_of)}"


def _when(date: dt.date, as_of: dt.date) -> str:
    late = (as_of - date).days
    if late > 0:
        return f"due since {day(date, as_of)} ({count(late, 'day')} late)"
    return "today" if late == 0 else f"{day(date, as_of)} or sooner"


def short_due(due: Due, as_of: dt.date) -> str:
    """Return what is due on `as_of` as one cell of a table: "test", "review", "choice", or nothing."""
    parts = []
    if due.test_due(as_of):
        parts.append("test")
    if due.look_due(as_of):
        parts.append("review")
    if due.over is not None:
        parts.append("choice")
    return ", ".join(parts)


def next_lines(step: NextStep, names: FaultNames, as_of: dt.date) -> list[str]:
    """Return the proposal line by line, the thing to work on first."""
    lines = [_REASONS[reason.code](**reason.numbers, as_of=as_of) for reason in step.reasons]
    for title, proposal in (("Work on", step.one), ("And", step.second)):
        if proposal is not None:
            lines += proposal_lines(title, proposal, names, as_of)
    lines += [left_line(left, names, as_of) for left in step.leave]
    lines += due_lines(step.due, names, as_of)
    return [line for line in lines if line]


def proposal_lines(title: str, proposal: Proposal, names: FaultNames, as_of: dt.date) -> list[str]:
    """Return what to work on, with cue, drill and reasons."""
    name = fault_name(proposal.fault, proposal.side, names)
    severity = f", severity {proposal.severity}" if proposal.severity else ""
    why = [
        text for reason in proposal.reasons if (text := _GROUNDS[reason.code](**reason.numbers, as_of=as_of))
    ]
    return [
        f"{title}: {name} ({proposal.state}{severity}).",
        f"  Think: {proposal.cue}" if proposal.cue else "",
        f"  Do: {proposal.drill}" if proposal.drill else "",
        *(f'  Stop: the cue "{cue}"; overdone, it can bring this about.' for cue in proposal.stop),
        f"  Why: {capital('; '.join(why))}." if why else "",
    ]


def left_line(left: Left, names: FaultNames, as_of: dt.date) -> str:
    """Return one fault to leave and why."""
    why = _LEFT[left.reason.code](**left.reason.numbers, as_of=as_of)
    return f"Leave: {fault_name(left.fault, left.side, names)} ({left.state}): {why}."


_HOW: Final[Mapping[str, str]] = {
    "before": "it was left uncorrected when the line went flat",
    "late": "it was seen within the span in which the line may have gone flat",
    "during": "it was the first seen after the line went flat",
}
_COSTS: Final[Mapping[str, str]] = {
    "measured": "its cost was measured",
    "indirect": "something near it was measured to cost speed",
}


def _linked(how: str, late: bool, evidence: str, as_of: dt.date) -> str:  # noqa: ARG001, FBT001 - as all do
    return f"{_HOW['late' if late else how]} ({evidence})"


def _severity(severity: int | None, as_of: dt.date) -> str:  # noqa: ARG001
    return f"severity {severity}" if severity else ""


def _cost(known: str, cost: str, as_of: dt.date) -> str:  # noqa: ARG001
    return _COSTS.get(known, "")


def _answers(answers: str, as_of: dt.date) -> str:  # noqa: ARG001
    return f"usually a {answers} answer (common practice)" if answers else ""


def _in_work(weeks: int, since: dt.date, as_of: dt.date) -> str:
    return f"in work since {day(since, as_of)}, {count(weeks, 'week')}; give it time"


def _long_in_work(weeks: int, since: dt.date, as_of: dt.date) -> str:
    return f"in work since {day(since, as_of)}, {count(weeks, 'week')}, without a correction seen"


def _tried(times: int, as_of: dt.date) -> str:  # noqa: ARG001
    return f"tried before: {count(times, 'cue or drill', 'cues or drills')} stopped"


def _chosen(by: str, why: str, date: dt.date, until: dt.date, as_of: dt.date) -> str:
    return chosen_words(by, date, until, as_of) + (f": {why.splitlines()[0]}" if why else "")


def _drawn_now(starts: dt.date, as_of: dt.date) -> str:
    return f"drawn by lot to start on {day(starts, as_of)}"


_GROUNDS: Final[Mapping[str, Callable[..., str]]] = {
    "linked": _linked,
    "severity": _severity,
    "cost": _cost,
    "answers": _answers,
    "in_work": _in_work,
    "long_in_work": _long_in_work,
    "tried": _tried,
    "chosen": _chosen,
    "drawn_now": _drawn_now,
    "drawn_later": _drawn_now,
}


def _parked(why: str, since: dt.date, as_of: dt.date) -> str:
    reason = f": {why.splitlines()[0]}" if why else ""
    return f"left on purpose since {day(since, as_of)}{reason}"


def _drawn_later(starts: dt.date, as_of: dt.date) -> str:
    return f"drawn by lot to start on {day(starts, as_of)}"


def _as_a_rule(why: str, as_of: dt.date) -> str:  # noqa: ARG001
    text = why.rstrip(".")
    return text[:1].lower() + text[1:]


def _race_soon(date: dt.date, as_of: dt.date) -> str:
    return f"nothing slow to change is begun so near the race of {day(date, as_of)}"


def _one_at_a_time(as_of: dt.date) -> str:  # noqa: ARG001
    return "one thing at a time"


_LEFT: Final[Mapping[str, Callable[..., str]]] = {
    "parked": _parked,
    "drawn_later": _drawn_later,
    "as_a_rule": _as_a_rule,
    "race_soon": _race_soon,
    "one_at_a_time": _one_at_a_time,
}


def _said(text: str) -> Callable[..., str]:
    """Return a sentence that takes no numbers."""
    return lambda as_of: text  # noqa: ARG005


_REASONS: Final[Mapping[str, Callable[..., str]]] = {
    "going_well": _said("It goes well: keep on."),
    "all_left": lambda faults, as_of: (  # noqa: ARG005
        f"Nothing to work on now: {count(faults, 'fault')} on record, left on purpose or for later."
    ),
    "review_first": _said(
        "Nothing to work on yet: no uncorrected fault is on record, and a look comes first."
    ),
    "nothing_on_record": _said("Nothing to work on: no uncorrected fault is on record."),
}


def drawn_line(swimmer: str, fault: str, starts: dt.date, as_of: dt.date) -> str:
    """Return "Ines Aalto: breath comes late, left; drawn by lot to start on 22 September"."""
    return f"{swimmer}: {fault}; {_drawn_now(starts, as_of)}."


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
