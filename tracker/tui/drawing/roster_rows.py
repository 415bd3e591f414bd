"""A roster line as the cells of a row: which columns fit the width, and what stands in them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from tracker.faults.link import Link
from tracker.output.due_words import short_due
from tracker.output.wording import mark, word
from tracker.pipeline import RosterLine
from tracker.tui.drawing.scales import MONTHS
from tracker.tui.drawing.swimmer_picture import lane_name
from tracker.tui.drawing.table import Column, Row
from tracker.verdict.verdict import Verdict

WIDE = 110
"""From so many cells on, the group, the interval of the rate and the last test are shown too."""


def columns(width: int) -> tuple[Column, ...]:
    """Return the columns that fit `width` cells; the name always has at least 16."""
    new, name, verdict = Column("", 1), Column("swimmer", 17, 2), Column("verdict", 11)
    since, link = Column("since", 11), Column("left uncorrected", 18, 2)
    if width < WIDE:
        return (new, name, verdict, since, Column("rate %", 6), link, Column("due", 6))
    rate, last = Column("% a month (90 %)", 22), Column("last test", 11)
    return (new, name, Column("group", 9, 1), verdict, since, rate, link, last, Column("due", 12))


def row(line: RosterLine, as_of: dt.date, *, wide: bool) -> Row:
    """Return the row of a judged swimmer."""
    verdict = line.verdict
    role = word(verdict).replace(" ", "-") if verdict else "quiet"
    head = ("*" if line.new else "", line.swimmer)
    spoken = f"{mark(verdict)} {word(verdict)}"
    since, link, due = _since(verdict, as_of), link_cell(line.link), _due(line, as_of, wide=wide)
    if not wide:
        texts: tuple[str, ...] = (*head, spoken, since, _rate(verdict), link, due)
        return Row(line.swimmer, texts, ("mark", "", role, "", "", "", "quiet"))
    last = short_day(verdict.last, as_of) if verdict else ""
    texts = (*head, line.group, spoken, since, _rate(verdict, interval=True), link, last, due)
    return Row(line.swimmer, texts, ("mark", "", "quiet", role, "", "", "", "quiet", "quiet"))


def waiting_rows(names: Sequence[tuple[str, str]], *, wide: bool) -> list[Row]:
    """Return rows of (name, group) whose verdicts are still being worked out."""
    if wide:
        return [Row(name, ("", name, group, "…", *[""] * 5)) for name, group in names]
    return [Row(name, ("", name, "…", *[""] * 4)) for name, _ in names]


def link_cell(link: Link | None) -> str:
    """Return a link in few cells: the fault, its side's letter and its state."""
    if link is None:
        return ""
    if link.fault is None:
        return "none on record"
    state = "seen later" if link.how == "during" else link.state
    return f"{lane_name((link.fault, link.side or ''))} {state}"


def _due(line: RosterLine, as_of: dt.date, *, wide: bool) -> str:
    words = short_due(line.due.test, line.due.review, as_of)
    return "both" if "," in words and not wide else words


def short_day(date: dt.date, as_of: dt.date) -> str:
    """Return "11 Feb", with the year where it is not that of `as_of`."""
    text = f"{date.day} {MONTHS[date.month - 1]}"
    return text if date.year == as_of.year else f"{text} {date.year}"


def _since(verdict: Verdict | None, as_of: dt.date) -> str:
    if verdict is None or verdict.verdict == "too early":
        return ""
    return "the start" if verdict.before_record else short_day(verdict.since, as_of)


def _rate(verdict: Verdict | None, *, interval: bool = False) -> str:
    if verdict is None:
        return ""
    # adding 0.0 turns a rounded -0.0 into 0.0
    rate, low, high = (
        f"{round(x, 2) + 0.0:+.2f}" for x in (verdict.rate, verdict.rate_low, verdict.rate_high)
    )
    return f"{rate} ({low} to {high})" if interval else rate
