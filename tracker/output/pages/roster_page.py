"""The coach's summary of a month: plateaus, who moves again, open faults, who is due."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from importlib.metadata import version
from typing import Final, assert_never

from tracker.engine.verdict.verdict import Verdict, Word
from tracker.model.text import clean_line
from tracker.model.units import DAYS_PER_MONTH
from tracker.model.vocabularies import Phase
from tracker.output.cautions import cautions_of_many
from tracker.output.figures.small_multiples import A_PAGE, shared_axes, small_alt, small_svg
from tracker.output.pages.page import Block, BulletList, Chart, Page, Paragraph, Section, Sheet, Table
from tracker.output.sentences.effects import HOW_COMPARED
from tracker.output.sentences.link import FaultNames, fault_name, state_words
from tracker.output.sentences.numbers import capital, count, day, full_day, month_name, sure
from tracker.output.sentences.roster import month_sentence
from tracker.output.sentences.verdict import NO_ADVICE
from tracker.technique.attention import RosterLine
from tracker.technique.cautions import codes_for
from tracker.technique.fault_timeline import Spell
from tracker.technique.link import How

MOST_ROWS: Final = 16
MOST_NAMES: Final = 12


@dataclass(frozen=True)
class RosterMonth:
    """The roster at the end of a month, and what it was a month before.

    Attributes
    ----------
    lines
        Most in need of a look first, with points and curves.
    before
        Each swimmer's verdict at the end of the month before; missing without tests then.
    spells
        The spells of each swimmer's faults.
    looked
        Swimmers with a look at their technique on record.
    effects
        What corrections did, in sentences.
    """

    month: dt.date
    as_of: dt.date
    group: str
    lines: Sequence[RosterLine]
    names: FaultNames
    before: Mapping[str, Word] = field(default_factory=dict)
    spells: Mapping[str, Sequence[Spell]] = field(default_factory=dict)
    looked: frozenset[str] = frozenset()
    effects: Sequence[str] = ()


def roster_page(roster: RosterMonth, made_on: dt.date) -> Page:
    """Return the summary, then everybody's small chart, twelve to a side."""
    month = month_name(roster.month)
    group = clean_line(roster.group)
    name = f"Roster: {group}" if group else "Roster"
    return Page(
        title=f"{name}, {month}",
        name=name,
        subtitle=month,
        author=group or "slackwater",
        made_on=made_on,
        sheets=(_summary(roster), *_charts(roster)),
        footer=(
            f"Data up to {full_day(roster.as_of)}, {count(len(roster.lines), 'swimmer')}.",
            f"Method: labelled segmentation, slackwater {version('slackwater')}.",
            "For the coach only.",
            f"Made on {full_day(made_on)}.",
            NO_ADVICE,
        ),
    )


def _summary(roster: RosterMonth) -> Sheet:
    top = [Section("", (Paragraph(month_sentence(roster.lines), "verdict"),))]
    top.append(Section("On a plateau", _plateaus(roster)))
    changed = (
        ("Newly level this month", _newly(roster, Word.PLATEAU, entering=True)),
        ("Moving again this month", _newly(roster, Word.PLATEAU, entering=False)),
        ("Newly slipping this month", _newly(roster, Word.SLIPPING, entering=True)),
    )
    unseen = [line for line in roster.lines if line.swimmer not in roster.looked]
    left = [Section(title, (Paragraph(capital(_named(lines))),)) for title, lines in changed]
    right = [
        Section("Due", _due(roster)),
        Section("No look on record", (Paragraph(capital(_named(unseen))),)),
    ]
    bottom = [Section("Faults over the roster", _faults(roster))]
    if roster.effects:
        said = (BulletList(tuple(roster.effects)), Paragraph(HOW_COMPARED, "small"))
        bottom.append(Section("What was changed, and what followed", said))
    return Sheet(tuple(top), tuple(left), tuple(right), tuple(bottom))


def _plateaus(roster: RosterMonth) -> tuple[Block, ...]:
    found = [
        (line, line.verdict) for line in roster.lines if line.verdict and line.verdict.verdict == Word.PLATEAU
    ]
    if not found:
        return (Paragraph("Nobody."),)
    rows = [
        (
            clean_line(line.swimmer),
            _since(verdict, roster.as_of),
            count(round((verdict.last - verdict.since).days / DAYS_PER_MONTH), "month"),
            sure(verdict.p_flat),
            _left(line, roster.names),
        )
        for line, verdict in found[:MOST_ROWS]
    ]
    table = Table(
        ("swimmer", "since about", "for", "sure", "left uncorrected when it began"), tuple(rows), (0, 4)
    )
    return (table, *_more(len(found) - MOST_ROWS))


def _since(verdict: Verdict, as_of: dt.date) -> str:
    return "before the record" if verdict.before_record else day(verdict.since, as_of)


def _left(line: RosterLine, names: FaultNames) -> str:
    if line.link is None or line.link.fault is None:
        return "no fault on record"
    state = "seen after it began" if line.link.how is How.DURING else state_words(line.link)
    return f"{fault_name(line.link.fault, line.link.side or '', names)} ({state})"


def _more(number_of: int) -> tuple[Block, ...]:
    return (Paragraph(f"And {number_of} more.", "small"),) if number_of > 0 else ()


def _newly(roster: RosterMonth, word: Word, *, entering: bool) -> list[RosterLine]:
    """Return whose verdict became, or ceased to be, `word` within the month.

    A first verdict is no news, and who is undecided now may still be on a plateau.
    """
    return [line for line in roster.lines if _changed(roster, line, word, entering=entering)]


def _changed(roster: RosterMonth, line: RosterLine, word: Word, *, entering: bool) -> bool:
    now = line.word or Word.TOO_EARLY
    before = roster.before.get(line.swimmer, Word.TOO_EARLY)
    if entering:
        return now == word and before not in {word, Word.TOO_EARLY}
    return before == word and now != word and now.tells


def _named(lines: Sequence[RosterLine]) -> str:
    """Return the swimmers' names, at most `MOST_NAMES`; "nobody" for none."""
    if not lines:
        return "nobody."
    names = [clean_line(line.swimmer) for line in lines[:MOST_NAMES]]
    more = [f"and {len(lines) - MOST_NAMES} more"] if len(lines) > MOST_NAMES else []
    return f"{', '.join([*names, *more])}."


def _due(roster: RosterMonth) -> tuple[Block, ...]:
    as_of = roster.as_of
    tests = [line for line in roster.lines if line.due.test_due(as_of)]
    looks = [line for line in roster.lines if line.due.look_due(as_of)]
    care = [(clean_line(line.swimmer), codes_for((), (), line.due.held_by, tests=True)) for line in tests]
    return (
        Paragraph(f"A test: {_named(tests)}"),
        Paragraph(f"A look at technique: {_named(looks)}"),
        *(Paragraph(capital(one), "small") for one in cautions_of_many(care)),
    )


_COLUMNS: Final = ("open or back", "in work", "parked", "corrected this month")


def _column_of(phase: Phase) -> int:
    match phase:
        case Phase.WAITING:
            return 0
        case Phase.IN_WORK:
            return 1
        case Phase.PARKED:
            return 2
        case Phase.CLOSED:
            return 3
        case other:
            assert_never(other)


def _faults(roster: RosterMonth) -> tuple[Block, ...]:
    """Return how many swimmers have each fault in which state at the end of the month."""
    counts: dict[str, list[int]] = {}
    for spell in (spell for spells in roster.spells.values() for spell in spells if spell.ends is None):
        column = _column_of(spell.state.phase)
        if column < 3 or spell.begins >= roster.month:
            counts.setdefault(spell.fault, [0] * len(_COLUMNS))[column] += 1
    if not counts:
        return (Paragraph("None on record."),)
    shown = sorted(counts, key=lambda fault: (-sum(counts[fault][:3]), fault))
    rows = [
        (capital(fault_name(fault, "", roster.names)), *(str(n) if n else "" for n in counts[fault]))
        for fault in shown[:MOST_ROWS]
    ]
    return (Table(("fault", *_COLUMNS), tuple(rows)), *_more(len(shown) - MOST_ROWS))


def _without_line(lines: Sequence[RosterLine]) -> str:
    """Return, as one more sentence, why some charts have no line."""
    if not any(line.verdict is not None and line.verdict.lacks for line in lines):
        return ""
    return " Where a chart has no line, the tests or weeks are too few for one, and zero is the first test."


def _charts(roster: RosterMonth) -> tuple[Sheet, ...]:
    shared = shared_axes(roster.lines, roster.as_of)
    sheets = []
    for first in range(0, len(roster.lines), A_PAGE):
        lines = roster.lines[first : first + A_PAGE]
        caption = (
            "▲ faster: percent of pace against the start of each line, the same axes for everybody. "
            "Points are tests, grey is the present level stretch."
        ) + _without_line(lines)
        chart = Chart(partial(small_svg, lines, shared), small_alt(lines), caption)
        sheets.append(Sheet((Section("Everybody on the same axes", (chart,)),)))
    return tuple(sheets)
