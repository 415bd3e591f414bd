"""The front of a swimmer's page: the verdict, the joint chart, the month, what next."""

from __future__ import annotations

from dataclasses import replace
from functools import partial

from tracker.output.cautions import step_cautions
from tracker.output.figures.alt_text import joint_alt, joint_caption
from tracker.output.figures.joint import JointChart, Mark, joint_svg
from tracker.output.pages.page import Block, BulletList, Chart, Paragraph, Section, Sheet
from tracker.output.pages.season import Season
from tracker.output.pages.tests_table import css_blocks, set_blocks, tests_blocks
from tracker.output.sentences.age import age_line
from tracker.output.sentences.due import due_lines
from tracker.output.sentences.link import event_words, link_lines, step_line, work_line, work_words
from tracker.output.sentences.next_step import next_lines
from tracker.output.sentences.numbers import capital, month_name
from tracker.output.sentences.two_dates import two_dates
from tracker.output.sentences.verdict import ASSOCIATION, in_other_words, line_headline

MOST_ITEMS = 5
MOST_LEFT = 2
CHART_MM = 104.0
"""Leaves room for the rest of the side, on Letter too."""


def front(season: Season) -> Sheet:
    """Return the side that the swimmer reads first."""
    left = (
        Section(f"Tests in {month_name(season.month)}", (*tests_blocks(season), *css_blocks(season))),
        Section("Set paces", set_blocks(season)),
    )
    right = (Section("Worked on this month", (_worked_on(season),)), _next(season))
    return Sheet((_verdict(season), *_chart(season), *_link(season)), left, right, _care(season))


def _verdict(season: Season) -> Section:
    verdict = season.line.verdict
    said: list[Block] = [Paragraph(line_headline(season.line), "verdict")]
    age = season.line.age
    # What growth gives a child is for the coach, with the figures behind.
    loss = age_line(None if age is None or age.growing else age)
    plain = [loss, two_dates(verdict), in_other_words(verdict)]
    return Section("", (*said, Paragraph(" ".join(part for part in plain if part))))


def chart_of(season: Season) -> JointChart | None:
    """Return the joint chart, if there is anything to draw."""
    verdict = season.line.verdict
    if verdict is None or not verdict.points:
        return None
    return JointChart(verdict, season.spells, season.names, _marks(season), season.as_of, CHART_MM)


def _marks(season: Season) -> tuple[Mark, ...]:
    events = [Mark(event.from_date, event.to_date, event_words(event)) for event in season.past_events]
    work = [
        Mark(work.from_date, min(work.to_date or season.as_of, season.as_of), work_words(work))
        for work in season.work
        if work.from_date <= season.as_of
    ]
    return (*events, *work)


def _chart(season: Season) -> tuple[Section, ...]:
    chart = chart_of(season)
    if chart is None:
        return ()
    return (Section("", (Chart(partial(joint_svg, chart), joint_alt(chart), joint_caption(chart)),)),)


def _link(season: Season) -> tuple[Section, ...]:
    look_due = season.line.due.look_due(season.as_of)
    lines = link_lines(season.line.link, season.names, season.as_of, look_due=look_due, grounds=False)
    if not lines:
        return ()
    caution = (Paragraph(ASSOCIATION, "small"),) if season.line.link and season.line.link.fault else ()
    return (Section("What was open when it began", (Paragraph(" ".join(lines)), *caution)),)


def _worked_on(season: Season) -> Block:
    lines = [work_line(work, season.names, season.as_of) for work in season.month_work]
    steps = [step for step in season.steps if season.in_month(step.date)]
    lines += [step_line(step, season.names, season.as_of) for step in steps]
    if not lines:
        return Paragraph("No cue, drill or step of a fault is on record this month.")
    return BulletList(tuple(lines[-MOST_ITEMS:]))


def _next(season: Season) -> Section:
    """Return one thing to work on, what to leave, when to test and look again."""
    if season.step is not None:
        step = replace(season.step, leave=season.step.leave[:MOST_LEFT])
        lines = [line.strip() for line in next_lines(step, season.names, season.as_of)]
        return Section("What next", (BulletList(tuple(lines)),))
    lines = due_lines(season.line.due, season.names, season.as_of)
    return Section("What next", (BulletList(tuple(lines)),))


def _care(season: Season) -> tuple[Section, ...]:
    said = step_cautions(season.step) if season.step else ()
    return (Section("Care", tuple(Paragraph(capital(one), "small") for one in said)),) if said else ()
