"""The evidence behind one swimmer's verdict as plain text, the same sentences as everywhere."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from tracker.engine.verdict.word_record import record_of
from tracker.model.work import Work
from tracker.output.cautions import cautions, fault_cautions
from tracker.output.sentences.age import age_line
from tracker.output.sentences.due import due_lines
from tracker.output.sentences.link import (
    FaultNames,
    event_words,
    fault_name,
    link_lines,
    link_sentence,
    work_line,
)
from tracker.output.sentences.numbers import capital, span
from tracker.output.sentences.reasons import grounds, left_out_lines, rate_and_noise, set_aside_line
from tracker.output.sentences.story import questions, record_sentence, story_lines
from tracker.output.sentences.two_dates import two_dates
from tracker.output.sentences.verdict import (
    ASSOCIATION,
    data_line,
    in_other_words,
    line_headline,
    pace_line,
    shown_stretches,
)
from tracker.technique.attention import RosterLine
from tracker.technique.cautions import codes_for, in_use
from tracker.technique.fault_timeline import Spell
from tracker.technique.privacy import ShownEvent

Section = tuple[str, list[str]]


def why_sections(  # noqa: PLR0913 - the record, its words and its cautions
    line: RosterLine,
    spells: Sequence[Spell],
    work: Sequence[Work],
    events: Iterable[ShownEvent],
    *,
    names: FaultNames,
    as_of: dt.date,
    fault_care: Sequence[str] = (),
) -> list[Section]:
    """Return titled groups of sentences, the verdict first; empty groups are left out.

    Parameters
    ----------
    line
        The swimmer's roster line.
    spells, work, events
        What was going on, up to `as_of`.
    names
        Short name of a fault -> plain name.
    fault_care
        What the uncorrected faults caution against in their own words.
    """
    verdict = line.verdict
    evidence = grounds(verdict)
    aside = [set_aside_line(test) for test in verdict.set_aside] if verdict else []
    look_due = line.due.look_due(as_of)
    link = link_lines(line.link, names, as_of, look_due=look_due)
    sections = [
        (
            line.swimmer,
            [
                line_headline(line),
                age_line(line.age),
                two_dates(verdict, as_of),
                in_other_words(verdict),
                data_line(verdict, as_of),
            ]
            + ([pace_line(verdict)] if verdict else []),
        ),
        ("The story so far", story_lines(line.story, names, as_of)),
        (
            "What it rests on",
            [
                *evidence,
                record_sentence(record_of(verdict)),
                *rate_and_noise(verdict),
                *aside,
                *left_out_lines(line.left_out),
            ],
        ),
        ("What was left uncorrected", [*link, ASSOCIATION] if link else []),
        ("Ask the swimmer", list(questions(verdict))),
        ("Flat stretches", _stretches(line, names, as_of)),
        ("Faults", [_spell(spell, names, as_of) for spell in spells]),
        ("Cues and drills", _worked_with(work, names, as_of)),
        (
            "Events",
            [capital(f"{event_words(event)} ({_event_span(event, as_of)})") for event in events],
        ),
        ("Take care", _care(line, work, as_of, fault_care)),
        ("Next", due_lines(line.due, names, as_of)),
    ]
    return [(title, [said for said in lines if said]) for title, lines in sections if any(lines)]


def _worked_with(work: Sequence[Work], names: FaultNames, as_of: dt.date) -> list[str]:
    """Return every cue and drill."""
    return [capital(work_line(one, names, as_of)) for one in work]


def _care(line: RosterLine, work: Sequence[Work], as_of: dt.date, fault_care: Sequence[str]) -> list[str]:
    """Return the cautions that the swimmer, what is in use, and the uncorrected faults call for."""
    texts = [one.text for one in work if in_use(one, as_of)]
    codes = codes_for((), texts, line.due.held_by, tests=False)
    return [capital(said) for said in (*cautions(codes), *fault_cautions(fault_care))]


def _stretches(line: RosterLine, names: FaultNames, as_of: dt.date) -> list[str]:
    if line.verdict is None:
        return []
    links = dict(zip(line.verdict.flat_stretches, line.stretch_links, strict=True))
    told = []
    for stretch in shown_stretches(line.verdict):
        link = line.link if stretch.current else links[stretch]
        look_due = stretch.current and line.due.look_due(as_of)
        said = f": {link_sentence(link, names, as_of, look_due=look_due)}" if link else "."
        told.append(f"{capital(span(stretch.start, stretch.end, as_of))}{said}")
    return told


def _event_span(event: ShownEvent, as_of: dt.date) -> str:
    """Return when it was; without an end a race is one day, anything else goes on."""
    ends = event.from_date if event.kind.about.one_day and event.to_date is None else event.to_date
    return span(event.from_date, ends, as_of)


def _spell(spell: Spell, names: FaultNames, as_of: dt.date) -> str:
    severity = f", severity {spell.severity}" if spell.severity else ""
    note = f" ({spell.note.splitlines()[0]})" if spell.note else ""
    when = span(spell.begins, spell.ends, as_of)
    return capital(f"{fault_name(spell.fault, spell.side, names)}: {spell.state} {when}{severity}{note}")
