"""Sentences on people: their data, their coaches, the archived."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final, assert_never

from tracker.engine.verdict.verdict import MoreTests, Sure, Verdict
from tracker.model.vocabularies import GivenBy, Purpose
from tracker.output.sentences.numbers import count, full_day, number, sure
from tracker.output.sentences.reasons import grounds, left_out_lines, rate_and_noise, sentence, set_aside_line
from tracker.output.sentences.verdict import data_line, has_rate, pace_line
from tracker.remedies import NO_SHELL, Mend, TakeBack, Wording

if TYPE_CHECKING:
    from tracker.model.swimmer import Consent, Swimmer
    from tracker.technique.attention import RosterLine

HELD: Final[Mapping[str, tuple[str, str]]] = {
    "swimmer": ("who you are here", "to tell people apart; the year of birth, where given, to heed age"),
    "swim": ("test swims", "to tell whether your pace is rising, level or falling"),
    "review_item": ("looks at your technique", "to follow what a reviewer scored and measured"),
    "fault_step": ("faults seen, worked on, corrected", "to tell what to work on and whether it helped"),
    "work": ("cues and drills", "to tell what was tried, and when"),
    "event": ("dated events", "to tell what else may have moved your pace"),
    "load": ("weeks of swimming", "to tell whether less or more was swum"),
    "consent": ("consents", "to show what you, or a guardian, agreed to"),
    "choice": ("the coach's decisions", "to show where a person decided otherwise than proposed"),
    "told": ("words told of you", "to say later what is different from them, and how often they held"),
    "history_entry": ("log of changes", "to show who changed what and when, and to take mistakes back"),
    "undo": ("what was changed or deleted", "to take mistakes back"),
}
"""Kind of data -> what it is and what it is for, said to the person."""

ENTRIES: Final[Mapping[str, str]] = {
    "swimmer": "who they are",
    "swim": "test swims",
    "review_item": "scores and measures of reviews",
    "fault_step": "steps of faults",
    "work": "cues and drills",
    "event": "events",
    "load": "weeks of swimming",
    "consent": "consents",
    "choice": "decisions of the coach",
    "told": "words told",
    "history_swimmer": "changes in the history",
    "swim_test": "tests of the club's own",
    "own_fault": "faults of the club's own",
}
"""Kind of data -> its plain name, for the person who holds the record."""

_WHERE: Final = {"reviewer": "as the reviewer", "by": "as the coach", "who": "as who saw them"}


_HOW_LONG: Final = (
    "Until it is erased. The coach is shown a list of those for whom nothing was added for long.",
)
_FILES: Final = (
    "The CSV files open in a spreadsheet and import again; dates are ISO 8601, times m:ss.tt, text UTF-8.",
    "person.json holds all of it in one file: every table, the log of changes, what undo keeps, the verdict.",
)


def record_withdrawn(wording: Wording) -> str:
    """Return what follows where the consent to be on record is withdrawn."""
    said = "Nothing more is written down; what is there stays until it is erased"
    return f"{wording.after(said, Mend.ERASE)}."


def held_line(kind: str, rows: int, first: dt.date | None, last: dt.date | None) -> str:
    """Return what is held of one kind, from when to when, and why."""
    what, why = HELD[kind]
    if first is not None and last is not None:
        dates = f", {full_day(first)}" if first == last else f", {full_day(first)} to {full_day(last)}"
    else:
        dates = ""
    return f"{what}: {count(rows, 'entry', 'entries')}{dates}; {why}"


def entries_line(kind: str, rows: int) -> str:
    """Return "test swims: 69"."""
    return f"{ENTRIES[kind]}: {rows}"


def mention_words(kind: str, column: str, rows: int) -> str:
    """Return where others' entries write a name: "steps of faults, as the reviewer: 2 entries"."""
    where = _WHERE.get(column, f"in the {column.replace('_', ' ')}")
    return f"{ENTRIES[kind]}, {where}: {count(rows, 'entry', 'entries')}"


def seers_lines(place: str, reviewers: Sequence[str], writers: Sequence[str]) -> list[str]:
    """Return who sees the data, and who wrote it."""
    lines = [f"Whoever can open the database, {place}. Nothing is sent anywhere by the program."]
    if reviewers:
        lines.append(f"Looked at your technique: {', '.join(reviewers)}.")
    if writers:
        lines.append(f"Wrote or changed entries: {', '.join(writers)}.")
    return lines


def _purpose(purpose: Purpose) -> str:
    match purpose:
        case Purpose.RECORD:
            return "being on record"
        case Purpose.PAGES:
            return "monthly pages"
        case Purpose.CLIPS:
            return "clips"
        case other:
            assert_never(other)


def consent_sentence(consent: Consent) -> str:
    """Return one consent in a sentence."""
    by = "a guardian" if consent.given_by == GivenBy.GUARDIAN else "the swimmer"
    parts = [
        f"for {_purpose(consent.purpose)}, given by {by} on {full_day(consent.date)}",
        f"ground: {consent.ground}" if consent.ground else "",
        consent.how,
        f"text {consent.text_version}" if consent.text_version else "",
        f"until {full_day(consent.until)}" if consent.until else "",
        f"withdrawn on {full_day(consent.withdrawn)}" if consent.withdrawn else "",
    ]
    return "; ".join(part for part in parts if part)


def health_note(left_out: int, wording: Wording) -> str:
    """Return what is said where entries about health are held and not copied."""
    said = f"{count(left_out, 'event')} about health are held and not in this copy"
    return wording.after(said, Mend.WITH_HEALTH)


def _what_to_ask_for(wording: Wording) -> tuple[str, ...]:
    erased = wording.after("Everything can be erased", Mend.ERASE)
    return (
        "A verdict is a prompt for a coach, not a decision: a person decides, and may decide otherwise.",
        f"{wording.after('Wrong data can be corrected', Mend.CORRECT)}.",
        f"{erased}; old backups may hold it until they are removed.",
        "This is general information. Which of it you can ask for, and by when, is for the law where you "
        "live.",
    )


@dataclass(frozen=True)
class PersonSummary:
    """What the summary is made from: sentences by section.

    Attributes
    ----------
    held, seers
        What is held and why; who sees it.
    derived
        What was worked out of it: titled sentences.
    notes
        What is not in the copy.
    wording
        How the shell that made it words what can be done.
    """

    swimmer: str
    as_of: dt.date
    held: Sequence[str]
    seers: Sequence[str]
    consents: Sequence[Consent]
    derived: Sequence[tuple[str, Sequence[str]]]
    notes: Sequence[str]
    wording: Wording = NO_SHELL


def person_summary(person: PersonSummary) -> str:
    """Return the whole readable summary."""
    given = [consent_sentence(one) for one in person.consents] or ["No consent is written down."]
    sections: list[tuple[str, Sequence[str]]] = [
        ("What is held, and why", person.held),
        ("Who sees it", person.seers),
        ("How long", _HOW_LONG),
        ("Consents", given),
        *((f"Worked out: {title}", lines) for title, lines in person.derived),
        ("In these files", _FILES),
        ("Not in these files", [*person.notes, "Clips: only references to them are kept, never the clips."]),
        ("What you can ask for", _what_to_ask_for(person.wording)),
    ]
    lines = [f"What is held of {person.swimmer}, as of {full_day(person.as_of)}"]
    for title, said in sections:
        lines += ["", title, *(f"  {line}" for line in said)]
    return "\n".join(lines) + "\n"


def figures(verdict: Verdict) -> list[str]:
    """Return what the verdict rests on, each once; nothing of a rate that the tests do not carry."""
    others = replace(verdict, reasons=tuple(r for r in verdict.reasons if not isinstance(r, Sure)))
    lines = [
        data_line(verdict, verdict.as_of),
        pace_line(verdict),
        *rate_and_noise(verdict),
        *([classes(verdict)] if has_rate(verdict) else []),
        *grounds(others),
    ]
    if verdict.tests_to_tell is not None:
        lines.append(sentence(MoreTests(verdict.tests_to_tell)))
    return list(dict.fromkeys(lines))


def classes(verdict: Verdict) -> str:
    """Return how likely each answer is."""
    above, inside, below, slowed = (
        sure(p) for p in (verdict.p_gaining, verdict.p_flat, verdict.p_slipping, verdict.p_slowed)
    )
    return (
        f"The present rate is above the margin of {number(verdict.band)} % a month with {above}, "
        f"inside it with {inside}, below it with {below}; lower than before with {slowed}."
    )


def not_counted(line: RosterLine) -> list[str]:
    """Return what does not count: tests set aside by the line, swims left out, and why."""
    aside = [set_aside_line(test) for test in line.verdict.set_aside] if line.verdict else []
    return aside + left_out_lines(line.left_out)


def archived_note(swimmer: Swimmer, wording: Wording) -> str:
    """Return that an archived swimmer's entry was made all the same, and how to take them back."""
    said = (
        f"{swimmer.swimmer} is archived, since {swimmer.archived}, and off the roster; logged all the same."
    )
    return wording.after(said, TakeBack(swimmer.swimmer))
