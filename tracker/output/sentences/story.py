"""Sentences on the story of a swimmer, on what a word is worth, and what to ask after a slip."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING, assert_never

from tracker.engine.verdict.verdict import StorySpan, Verdict, Word
from tracker.model.vocabularies import State
from tracker.output.sentences.link import FaultNames, fault_name, link_sentence
from tracker.output.sentences.numbers import between, capital, day, listed, number, rate_words, sure
from tracker.technique.fault_timeline import Change, ChangeKind
from tracker.technique.link import How, Link

if TYPE_CHECKING:
    from tracker.engine.verdict.word_record import WordRecord
    from tracker.technique.story import StoryPart

PLAIN, PROBABLE = 0.80, 0.60
"""Probabilities from which a span is said without "probably", and with it; below stands "perhaps"."""

QUESTIONS = (
    "Load: have the weeks become longer, shorter, harder or easier, here or in another sport?",
    "Illness or hurt: has anything been wrong, or does anything hurt in the water? What hurts belongs to a "
    "clinician; the answer need not be written down.",
    "Life and water: how are sleep, work or school, and what changed in the water: pool, hour, suit, what "
    "they think of while swimming?",
)
"""What to ask the swimmer after a slip or a slowing (common practice, no source)."""


def questions(verdict: Verdict | None) -> tuple[str, ...]:
    """Return the three questions that a slip or a slowing calls for; none for any other word."""
    if verdict is None:
        return ()
    match verdict.verdict:
        case Word.SLIPPING | Word.SLOWED:
            return QUESTIONS
        case Word.GAINING | Word.PLATEAU | Word.UNDECIDED | Word.TOO_EARLY:
            return ()
        case other:
            assert_never(other)


def record_sentence(record: WordRecord | None) -> str:
    """Return what words like this were worth; empty where no word is held."""
    if record is None:
        return ""
    share = f"{record.of_hundred} of 100"
    counted = f"{record.so} of {record.words} invented swimmers at random dates"
    if record.any:
        return f"Words like this ({record.word}, however sure) held in {share}: {counted}."
    stated = f"{number(100 * record.low, 0)} to {number(100 * record.high, 0)} % sure"
    if record.low <= 0:
        stated = f"less than {number(100 * record.high, 0)} % sure"
    if record.high >= 1:
        stated = f"{number(100 * record.low, 0)} % sure or more"
    return f"Words like this ({record.word}, {stated}) held in {share}: {counted}."


def story_sentence(parts: Sequence[StoryPart], names: FaultNames, as_of: dt.date) -> str:
    """Return the whole story in one sentence; empty without a test."""
    said = [
        f"{_clause(part.span, parts[:place], as_of)}{_short_link(part, names)}"
        for place, part in enumerate(parts)
    ]
    return f"{capital('; '.join(said))}." if said else ""


def _clause(span: StorySpan, earlier: Sequence[StoryPart], as_of: dt.date) -> str:
    """Return "gaining from ... to ..." or "undecided since ..., perhaps gaining again"."""
    when, what = _when(span, len(earlier), as_of), _what(span, earlier)
    return f"{what} {when}" if span.leaning is None else f"undecided {when}, {what}"


def story_lines(parts: Sequence[StoryPart], names: FaultNames, as_of: dt.date) -> list[str]:
    """Return the story, a span a line, each with its interval, rate, link or restart."""
    return [_line(part, parts[:place], names, as_of) for place, part in enumerate(parts)]


def _line(part: StoryPart, earlier: Sequence[StoryPart], names: FaultNames, as_of: dt.date) -> str:
    span = part.span
    told = f"{capital(_when(span, len(earlier), as_of))}{_interval(span, len(earlier), as_of)}: "
    told += "undecided, " if span.leaning is not None else ""
    told += f"{_what(span, earlier)}{_rate(span)}{_chance(span)}."
    if part.link is not None:
        told += f" {link_sentence(part.link, names, as_of, look_due=False)}"
    if part.changes:
        told += f" Shortly before: {listed([_change(one, names, as_of) for one in part.changes])}."
    return told


def _when(span: StorySpan, place: int, as_of: dt.date) -> str:
    begins = f"about {day(span.start, as_of)}" if place else f"the first test ({day(span.start, as_of)})"
    return f"since {begins}" if span.current else f"from {begins} to about {day(span.end, as_of)}"


def _interval(span: StorySpan, place: int, as_of: dt.date) -> str:
    """Return in which days it began; nothing for the first test, nor where the engine names a day alone."""
    if not place or not span.dated:
        return ""
    return f" (began {between(span.start_low, span.start_high, as_of)})"


def _what(span: StorySpan, earlier: Sequence[StoryPart]) -> str:
    """Return what the line did: "probably gaining again", "level", "slipping"."""
    told = span.leaning or span.word
    again = any(part.span.word is told for part in earlier) and earlier[-1].span.word is not told
    return f"{_hedge(span)}{_verb(span)}{' again' if again else ''}"


def _hedge(span: StorySpan) -> str:
    """Return how sure it is, in a word; a word that is held is never less than probable."""
    if span.p is None or (span.p >= PLAIN and span.leaning is None):
        return ""
    held = span.current and span.leaning is None
    return "probably " if span.p >= PROBABLE or held else "perhaps "


def _verb(span: StorySpan) -> str:
    match span.leaning or span.word:
        case Word.GAINING:
            return "gaining"
        case Word.PLATEAU:
            return "level"
        case Word.SLIPPING:
            return "slipping"
        case Word.SLOWED:
            return "at a lower rate than before"
        case Word.UNDECIDED:
            return "undecided"
        case Word.TOO_EARLY:
            return "too early to say"
        case other:
            assert_never(other)


def _rate(span: StorySpan) -> str:
    if span.rate is None or span.rate_low is None or span.rate_high is None:
        return ""
    return f", {rate_words(span.rate, span.rate_low, span.rate_high)}"


def _chance(span: StorySpan) -> str:
    return "" if span.p is None else f"; {sure(span.p)}"


def _short_link(part: StoryPart, names: FaultNames) -> str:
    """Return " (uncorrected then: breath comes late, left)" or " (after the correction of ...)"."""
    if part.changes:
        return f" (after {listed([_short_change(change, names) for change in part.changes[-2:]])})"
    link = part.link
    if link is None or link.fault is None or link.how is not How.BEFORE:
        return ""
    stood = "left on purpose" if link.state is State.PARKED else "uncorrected then"
    return f" ({stood}: {_named(link, link.fault, names)})"


def _named(link: Link, fault: str, names: FaultNames) -> str:
    name = fault_name(fault, link.side or "", names)
    return f"{name[:1].lower()}{name[1:]}"


def _short_change(change: Change, names: FaultNames) -> str:
    match change.kind:
        case ChangeKind.CORRECTION:
            name = fault_name(change.fault, "", names)
            return f"the correction of {name[:1].lower()}{name[1:]}"
        case ChangeKind.CUE | ChangeKind.DRILL | ChangeKind.DRAW:
            return f"the {change.kind} {change.text}".rstrip()
        case other:
            assert_never(other)


def _change(change: Change, names: FaultNames, as_of: dt.date) -> str:
    return f"{_short_change(change, names)} ({day(change.date, as_of)})"
