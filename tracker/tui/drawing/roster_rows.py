"""Tables: columns, and the rows of the roster."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import astuple, dataclass
from typing import Any

from tracker.engine.verdict.verdict import Verdict, Word
from tracker.output.sentences.due import short_due
from tracker.output.sentences.verdict import SHORT_ALWAYS_EASY, has_rate, mark, word
from tracker.technique.attention import RosterLine
from tracker.technique.link import How, Link
from tracker.tui.drawing.picture import lane_name
from tracker.tui.drawing.roles import role_of
from tracker.tui.drawing.scales import MONTHS


@dataclass(frozen=True)
class Column:
    """A column: its title, its cells' width, and its share of the width that is left over."""

    title: str
    width: int
    grow: int = 0


@dataclass(frozen=True)
class Row:
    """One row: what it stands for, its texts, and for some of them a role (a style's name)."""

    key: str
    texts: tuple[str, ...]
    roles: tuple[str, ...] = ()


_NEW, _VERDICT, _SINCE = Column("", 1), Column("verdict", 11), Column("since", 11)
_NARROW = (
    _NEW,
    Column("swimmer", 17, 2),
    _VERDICT,
    _SINCE,
    Column("rate %", 6),
    Column("left uncorrected", 18, 2),
    Column("due", 6),
)
_WIDE = (
    _NEW,
    Column("swimmer", 16, 2),
    Column("group", 9, 1),
    _VERDICT,
    _SINCE,
    Column("% a month (90 %)", 22),
    Column("left uncorrected", 17, 2),
    Column("last test", 11),
    Column("due", 12),
)

WIDE = 1 + sum(column.width + 1 for column in _WIDE)
"""From so many cells on, the group, the rate's interval and the last test are shown too: where all fit."""


def columns(width: int) -> tuple[Column, ...]:
    """Return the columns that fit `width` cells; the name always has at least 16."""
    return _WIDE if width >= WIDE else _NARROW


@dataclass(frozen=True)
class RosterRow:
    """What the roster shows of one swimmer, light enough to keep for the next start.

    Attributes
    ----------
    word
        The verdict's word, "" without one.
    rank
        Smaller is more in need of a look.
    narrow, wide
        The cells of the row, by the width of the window.
    """

    swimmer: str
    group: str
    word: str
    new: bool
    rank: tuple[int, int]
    grounds: tuple[str, ...]
    narrow: tuple[str, ...]
    wide: tuple[str, ...]

    def row(self, *, wide: bool) -> Row:
        """Return the row for a narrow or a wide window."""
        role = role_of(Word(self.word) if self.word else None)
        if wide:
            roles = ("mark", "", "quiet", role, "", "", "", "quiet", "quiet")
            return Row(self.swimmer, self.wide, roles)
        return Row(self.swimmer, self.narrow, ("mark", "", role, "", "", "", "quiet"))

    def packed(self) -> str:
        """Return the row as JSON, for the cache."""
        return json.dumps(astuple(self), ensure_ascii=False)

    @classmethod
    def unpacked(cls, text: str) -> RosterRow:
        """Return the row from its cached JSON."""
        values: list[Any] = [tuple(one) if isinstance(one, list) else one for one in json.loads(text)]
        return cls(*values)


def roster_row(line: RosterLine, as_of: dt.date) -> RosterRow:
    """Return what the roster shows of a judged swimmer."""
    verdict = line.verdict
    head = ("*" if line.new else "", line.swimmer)
    spoken = f"{mark(verdict)} {word(line)}"
    since, link = _since(line, as_of), link_cell(line.link)
    last = short_day(verdict.last, as_of) if verdict else ""
    rate, interval = _rate(verdict), _rate(verdict, interval=True)
    return RosterRow(
        line.swimmer,
        line.group,
        line.word or "",
        line.new,
        line.attention.rank,
        line.attention.grounds,
        (*head, spoken, since, rate, link, _due(line, as_of, wide=False)),
        (*head, line.group, spoken, since, interval, link, last, _due(line, as_of, wide=True)),
    )


def waiting_row(swimmer: str, group: str) -> RosterRow:
    """Return the row of a swimmer whose verdict is still being worked out."""
    blank = ("", "", "", "")
    narrow, wide = ("", swimmer, "…", *blank), ("", swimmer, group, "…", *blank, "")
    return RosterRow(swimmer, group, "", new=False, rank=(99, 0), grounds=(), narrow=narrow, wide=wide)


def link_cell(link: Link | None) -> str:
    """Return a link in few cells: the fault, its side's letter and where it stands now."""
    if link is None:
        return ""
    if link.fault is None:
        return "none on record"
    state = "seen later" if link.how is How.DURING else link.state_now or link.state
    return f"{lane_name((link.fault, link.side or ''))} {state}"


def _due(line: RosterLine, as_of: dt.date, *, wide: bool) -> str:
    words = short_due(line.due, as_of)
    several = {1: "both", 2: "all"}.get(words.count(","), words)
    return words if wide else several


def short_day(date: dt.date, as_of: dt.date) -> str:
    """Return "11 Feb", with the year where it is not that of `as_of`."""
    text = f"{date.day} {MONTHS[date.month - 1]}"
    return text if date.year == as_of.year else f"{text} {date.year}"


def _since(line: RosterLine, as_of: dt.date) -> str:
    verdict = line.verdict
    if line.always_easy:
        return SHORT_ALWAYS_EASY
    if verdict is None or not verdict.verdict.tells:
        return ""
    return "the start" if verdict.before_record else short_day(verdict.since, as_of)


def _rate(verdict: Verdict | None, *, interval: bool = False) -> str:
    if verdict is None or not has_rate(verdict):
        return ""
    # adding 0.0 turns a rounded -0.0 into 0.0
    rate, low, high = (
        f"{round(x, 2) + 0.0:+.2f}" for x in (verdict.rate, verdict.rate_low, verdict.rate_high)
    )
    return f"{rate} ({low} to {high})" if interval else rate
