"""The back of a swimmer's page: the figures behind the front."""

from __future__ import annotations

from functools import partial

from tracker.engine.verdict.verdict import Verdict
from tracker.engine.verdict.word_record import record_of
from tracker.model.best_times import best_times, season_start
from tracker.model.catalogue import catalogue
from tracker.output.figures.strokes import LEAST, stroke_points, strokes_alt, strokes_svg
from tracker.output.pages.front import chart_of
from tracker.output.pages.page import Block, BulletList, Chart, Paragraph, Section, Sheet
from tracker.output.pages.season import Season
from tracker.output.sentences.age import age_line
from tracker.output.sentences.best_times import best_sentence
from tracker.output.sentences.disputes import dispute_line
from tracker.output.sentences.link import ground_lines, link_lines
from tracker.output.sentences.numbers import number
from tracker.output.sentences.people import figures, not_counted
from tracker.output.sentences.sources import sources_in_short
from tracker.output.sentences.story import questions, record_sentence, story_sentence
from tracker.output.sentences.verdict import stretch_words, to_come
from tracker.technique.sources_used import constants_used, sources_used

MOST_ITEMS = 6


def back(season: Season) -> Sheet | None:
    """Return the second side, or None where there is nothing to put on it."""
    verdict = season.line.verdict
    if verdict is None:
        return None
    behind = [age_line(season.line.age), *figures(verdict), record_sentence(record_of(verdict))]
    top = [Section("The figures behind it", (BulletList(tuple(said for said in behind if said)),))]
    top += _story(season)
    ahead = to_come(verdict)
    if ahead:
        top.append(Section("What is to come", (BulletList(tuple(ahead)),)))
    if season.line.link is not None and season.line.link.grounds:
        said = ground_lines(season.line.link, season.as_of)
        top.append(Section("What the evidence rests on", (BulletList(tuple(said)),)))
    if season.disputes:
        lines = [dispute_line(one, season.names, season.as_of) for one in season.disputes[-MOST_ITEMS:]]
        top.append(Section("Reviewers who disagree", (BulletList(tuple(lines)),)))
    if season.beside_club:
        beside = season.beside_club[-MOST_ITEMS:]
        top.append(Section("Measures beside this club's own", (BulletList(tuple(beside)),)))
    top += _strokes(season)
    top += _earlier(season, verdict)
    left_out = not_counted(season.line)
    if left_out:
        top.append(Section("What does not count", (BulletList(tuple(left_out[-MOST_ITEMS:])),)))
    top += _sources(season)
    return Sheet(tuple(top))


def _story(season: Season) -> list[Section]:
    """Return the story, the best times, and what to ask after a slip."""
    month = season.settings.season_month
    begins = season_start(season.as_of, month)
    best = best_times(season.counted, as_of=season.as_of, season_month=month)
    told = story_sentence(season.line.story, season.names, season.as_of)
    found = (
        ("The story so far", (told,) if told else ()),
        ("Best times", tuple(best_sentence(one, begins) for one in best[:MOST_ITEMS])),
        ("Ask the swimmer", questions(season.line.verdict)),
    )
    return [Section(title, (BulletList(said),)) for title, said in found if said]


def _sources(season: Season) -> list[Section]:
    """Return by name whose figures the verdict and what is said of the faults rest on."""
    found = constants_used(season.line, season.counted)
    slugs = dict.fromkeys(spell.fault for spell in season.spells)
    said = sources_in_short(sources_used(found, slugs, {entry.slug: entry for entry in catalogue()}))
    return [Section("Sources", (Paragraph(said, "small"),))] if said else []


def _strokes(season: Season) -> list[Section]:
    chart = chart_of(season)
    what, points = stroke_points(season.counted, season.settings.push_off_m)
    if chart is None or len(points) < LEAST:
        return []
    caption = (
        f"{what}, strokes as counted, the push-off of {number(season.settings.push_off_m)} m taken out "
        "(an estimate). The axes do not start at zero."
    )
    drawn = partial(strokes_svg, points, chart.first, chart.last)
    picture = Chart(drawn, strokes_alt(what, points), caption)
    return [Section("Stroke rate and length", (picture,))]


def _earlier(season: Season, verdict: Verdict) -> list[Section]:
    """Return each flat stretch that is over, with what was open when it began."""
    blocks: list[Block] = []
    for stretch, link in zip(verdict.flat_stretches, season.line.stretch_links, strict=True):
        if stretch.current:
            continue
        said = link_lines(link, season.names, season.as_of, look_due=False)
        blocks.append(Paragraph(" ".join([stretch_words(stretch, verdict), *said])))
    return [Section("Earlier level stretches", tuple(blocks))] if blocks else []
