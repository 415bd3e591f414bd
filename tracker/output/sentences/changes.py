"""Sentences on what is different from what was told, and on how often told words held."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Final, assert_never

from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.told import Told
from tracker.model.units import format_time
from tracker.model.vocabularies import Step, ToldBy
from tracker.output.sentences.link import FaultNames, fault_name
from tracker.output.sentences.numbers import capital, count, day, listed, span, sure
from tracker.output.sentences.verdict import leaning_words, since_words
from tracker.technique.told import (
    Changes,
    Difference,
    FaultChanges,
    FellDue,
    NewTests,
    TestChange,
    TestChangeKind,
    WordChange,
    link_told,
    word_told,
)
from tracker.technique.track_record import TrackRecord, WordRecord

Group = tuple[str, list[str]]

NOTHING_TOLD: Final = "Nothing was told yet, so nothing can differ from it."
NOTHING_DIFFERS: Final = "Nothing is different from what was told."
NO_REVISIONS: Final = "No word was told yet."
TOGETHER: Final = (
    "A swimmer told the same word every week counts every time, and such words stand and fall together."
)
FEW: Final = 20
"""Of fewer words a percentage says little."""
_NAMED: Final = 4
"""So many days are named; of more, how many they are."""


def change_groups(found: Changes, names: FaultNames) -> list[Group]:
    """Return the lines in groups with a title each, the worst group first; empty groups are left out."""
    groups = [
        (_title(kind), [word_line(one, names, found.as_of) for one in found.words if one.difference is kind])
        for kind in Difference
    ]
    groups += [
        ("Faults", [fault_line(one, names, found.as_of) for one in found.faults]),
        ("Fell due", [due_line(one, found.as_of) for one in found.due]),
        ("New tests, and the word stands", [tests_line(one, found.as_of) for one in found.tests]),
    ]
    return [(title, lines) for title, lines in groups if lines]


def _title(kind: Difference) -> str:
    match kind:
        case Difference.REVISED:
            return "Revised: what was told does not hold for its own day"
        case Difference.MOVED_ON:
            return "Moved on since it was told, or about then"
        case Difference.NEW:
            return "Known now, and not when it was told"
        case Difference.GIVEN_UP:
            return "No longer said"
        case Difference.REDATED:
            return "The same word since another day"
        case Difference.RELINKED:
            return "The same word beside another fault"
        case other:
            assert_never(other)


def word_line(change: WordChange, names: FaultNames, as_of: dt.date) -> str:
    """Return one line on a word that differs from what was told, and which tests did it."""
    name, now = change.line.swimmer, _now(change.line.verdict, as_of)
    if not change.told:
        return f"{name}: {now}; nothing was told before."
    told, why = change.told[-1], _why(change, as_of)
    where = f"({'; '.join(dict.fromkeys(_form(one, as_of) for one in change.told))})"
    match change.difference:
        case Difference.REVISED:
            return f"{name}: said to be {_then(told, as_of)} {where}; it now looks {now}. {why}"
        case Difference.MOVED_ON | Difference.NEW | Difference.GIVEN_UP:
            return f"{name}: {now}; told: {_then(told, as_of)} {where}. {why}"
        case Difference.REDATED:
            return f"{name}: {now}; told: since {_since(told, as_of)} {where}. {why}"
        case Difference.RELINKED:
            beside, before = _fault(link_told(change.line.link), names), _fault(told.link, names)
            return f"{name}: {_plain(told)}, now beside {beside}; told: beside {before} {where}."
        case other:
            assert_never(other)


def _plain(told: Told) -> str:
    return _state(word_told(told))


def _state(word: Word) -> str:
    match word:
        case Word.PLATEAU:
            return "on a plateau"
        case Word.TOO_EARLY:
            return "too early to say"
        case Word.GAINING | Word.SLIPPING | Word.SLOWED | Word.UNDECIDED:
            return word.value
        case other:
            assert_never(other)


def _then(told: Told, as_of: dt.date) -> str:
    return _plain(told) + ("" if told.since is None else f" since {_since(told, as_of)}")


def _since(told: Told, as_of: dt.date) -> str:
    return "an unknown day" if told.since is None else day(told.since, as_of)


def _now(verdict: Verdict | None, as_of: dt.date) -> str:
    """Return what is said now, with its onset and how sure it is."""
    if verdict is None:
        return "no test on record"
    if not verdict.verdict.tells:
        return f"{_state(verdict.verdict)}{leaning_words(verdict)}"
    return f"{_state(verdict.verdict)} {since_words(verdict, as_of)}, {sure(verdict.p or 0.0)} sure"


def _form(told: Told, as_of: dt.date) -> str:
    """Return by what it was told, and until or on which day."""
    date = day(told.date, as_of)
    match told.where:
        case ToldBy.PAGE:
            return f"page to {date}"
        case ToldBy.SUMMARY:
            return f"summary to {date}"
        case ToldBy.SEEN:
            return f"seen by {told.who or 'somebody'} on {date}"
        case other:
            assert_never(other)


def _fault(typed: str, names: FaultNames) -> str:
    fault, _, side = typed.partition(":")
    return fault_name(fault, side, names) if fault else "no fault on record"


def _why(change: WordChange, as_of: dt.date) -> str:
    """Return which tests did it."""
    parts = [
        _tests(kind, [one for one in change.tests if one.kind is kind], as_of) for kind in TestChangeKind
    ]
    of_before = [part for part in parts if part]
    new = [_new_tests(change.new_days, as_of)] if change.new_days else []
    if of_before:
        return f"{'; '.join([*of_before, *new])}."
    if new:
        return f"{new[0]}; none of before was added or changed."
    return "No test was added or changed: the tests read differently together."


def _new_tests(days: Sequence[dt.date], as_of: dt.date) -> str:
    return f"{count(len(days), 'new test')} ({span(days[0], days[-1], as_of)})"


def _tests(kind: TestChangeKind, tests: Sequence[TestChange], as_of: dt.date) -> str:
    days = sorted({one.date for one in tests})
    if not days:
        return ""
    number = count(len(days), "test")
    match kind:
        case TestChangeKind.ADDED_LATE:
            return f"{number} entered late, of {_days(days, as_of)}"
        case TestChangeKind.CORRECTED:
            return f"{number} corrected, of {_times(tests, days, as_of)}"
        case TestChangeKind.DELETED:
            return f"{number} deleted, of {_days(days, as_of)}"
        case other:
            assert_never(other)


def _days(days: Sequence[dt.date], as_of: dt.date) -> str:
    if len(days) <= _NAMED:
        return listed([day(one, as_of) for one in days])
    return span(days[0], days[-1], as_of)


def _times(tests: Sequence[TestChange], days: Sequence[dt.date], as_of: dt.date) -> str:
    """Return the days, each with the time before and after where there are few."""
    if len(tests) > _NAMED:
        return _days(days, as_of)
    return listed([day(one.date, as_of) + _from_to(one) for one in tests])


def _from_to(test: TestChange) -> str:
    if test.was_s is None or test.now_s is None or test.was_s == test.now_s:
        return ""
    return f" ({format_time(test.was_s)} to {format_time(test.now_s)})"


def fault_line(change: FaultChanges, names: FaultNames, as_of: dt.date) -> str:
    """Return "Ines Aalto: breath comes late, left, corrected 3 May; legs and hips sink opened 20 June."."""
    steps = [
        f"{fault_name(step.fault, step.side, names)}{', ' if step.side else ' '}{_became(step.step)} "
        f"{day(step.date, as_of)}"
        for step in change.steps
    ]
    return f"{change.swimmer}: {'; '.join(steps)}."


def _became(step: Step) -> str:
    match step:
        case Step.OPEN:
            return "opened"
        case Step.SEEN | Step.CORRECTED | Step.PARKED | Step.BACK:
            return step.value
        case Step.WORK:
            return "in work"
        case other:
            assert_never(other)


def due_line(due: FellDue, as_of: dt.date) -> str:
    """Return what fell due for one swimmer."""
    parts = [
        f"{what} due since {day(date, as_of)}"
        for what, date in (("test", due.test), ("look", due.look))
        if date is not None
    ]
    return f"{due.swimmer}: {', '.join(parts)}."


def tests_line(tests: NewTests, as_of: dt.date) -> str:
    """Return how many tests were swum since, and that the word stands."""
    verdict = tests.line.verdict
    said = "no test that counts" if verdict is None else _state(verdict.verdict)
    sureness = "" if verdict is None or verdict.p is None else f", {sure(verdict.p)} sure"
    return f"{tests.line.swimmer}: {_new_tests(tests.days, as_of)}; still {said}{sureness}."


def ahead_line(ahead: Sequence[Told], as_of: dt.date) -> str:
    """Return what is to be known of words about days still to come; empty where there are none."""
    if not ahead:
        return ""
    first = min(one.date for one in ahead)
    return (
        f"{count(len(ahead), 'word')} told of days still to come, from {day(first, as_of)} on, left out: "
        f"today is {day(as_of, first)}; is the clock right?"
    )


def revision_lines(found: TrackRecord) -> list[str]:
    """Return how the words that were told held: a line a word, then all together."""
    if not found.all.told:
        return [NO_REVISIONS]
    lines = [line for one in found.words for line in _record_lines(one)]
    if len(found.words) > 1:
        lines += _record_lines(found.all)
    return [*lines, TOGETHER]


def _record_lines(record: WordRecord) -> list[str]:
    name = capital("all words" if record.word is None else record.word.value)
    lines = [
        f"{name}: told {count(record.told, 'time')} of {count(record.swimmers, 'swimmer')}; "
        f"revised since: {_share(record.revised, record.told)}."
    ]
    unsure = f"; of {record.unsure} more they were not sure" if record.unsure else ""
    if record.compared:
        lines.append(
            f"  The next month's tests agreed with {_share(record.agreed, record.compared)}{unsure}."
        )
    else:
        lines.append(f"  The next month's tests say nothing sure of any yet{unsure}.")
    return lines


def _share(part: int, of: int) -> str:
    """Return "3 of 40 (8 %)"; of few no percentage, for it would say more than is known."""
    if of < FEW:
        return f"{part} of {of} (too few for a rate)"
    return f"{part} of {of} ({100 * part / of:.0f} %)"
