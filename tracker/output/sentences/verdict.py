"""Sentences on a verdict: its headline, its stretches, its target.

"No change beyond the margin", never "no progress": a plateau says what the tests can show,
not what the swimmer did.
"""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Final, assert_never

from tracker.engine.verdict.to_come import PaceForecast, Target
from tracker.engine.verdict.verdict import (
    FewTests,
    FlatStretch,
    HiddenSwitch,
    Lack,
    NotSure,
    ShortRecord,
    TrendClass,
    Verdict,
    Word,
)
from tracker.model.units import LEAST_EFFORT
from tracker.output.sentences.numbers import (
    between,
    count,
    day,
    full_day,
    in_seconds,
    number,
    pace,
    rate_words,
    sure,
)

if TYPE_CHECKING:
    from tracker.technique.attention import RosterLine

NO_TESTS = "No tests on record yet."
ALWAYS_EASY = f"Too early to say: the effort was always below {LEAST_EFFORT}; swim a test at effort 9 or 10."
SHORT_ALWAYS_EASY = f"effort < {LEAST_EFFORT}"
"""The reason where there is little room."""
ASSOCIATION = "This is an association in time in one swimmer, not a cause."
NO_ADVICE = "No advice on health."


def mark(verdict: Verdict | None) -> str:
    """Return the mark of a verdict; that of "too early" where there are no tests."""
    return mark_of(verdict.verdict if verdict else Word.TOO_EARLY)


def mark_of(word: Word) -> str:
    """Return the mark beside a word, so that colour is never the only signal."""
    match word:
        case Word.GAINING:
            return "▲"
        case Word.PLATEAU:
            return "■"
        case Word.SLIPPING:
            return "▼"
        case Word.SLOWED:
            return "◆"
        case Word.UNDECIDED:
            return "◇"
        case Word.TOO_EARLY:
            return "○"
        case other:
            assert_never(other)


def word(line: RosterLine) -> str:
    """Return the word of a verdict; "no tests" where no swim is or could have been one."""
    return line.word or "no tests"


def since_words(verdict: Verdict, today: dt.date | None = None) -> str:
    """Return "since about 11 February (20 January to 4 March)", or that it began before the record.

    A year stands where it is not that of `today`; default: the day of the verdict.
    """
    as_of = today or verdict.as_of
    if verdict.before_record:
        return f"since before the first test ({full_day(verdict.first)})"
    interval = between(verdict.since_low, verdict.since_high, as_of)
    return f"since about {day(verdict.since, as_of)} ({interval})"


def line_headline(line: RosterLine, today: dt.date | None = None) -> str:
    """Return the headline of a swimmer on the roster, also of one without a test."""
    if line.verdict is not None:
        return headline(line.verdict, today)
    return ALWAYS_EASY if line.always_easy else NO_TESTS


def headline(verdict: Verdict, today: dt.date | None = None) -> str:
    """Return the verdict in one sentence, with since when and how sure; the same on every screen and page.

    A year stands where it is not that of `today`; default: the day of the verdict.
    """
    return _spoken(verdict, today) + _staleness(verdict, today)


def _spoken(verdict: Verdict, today: dt.date | None) -> str:
    match verdict.verdict:
        case Word.GAINING:
            return _gaining(verdict, today)
        case Word.PLATEAU:
            return _plateau(verdict, today)
        case Word.SLIPPING:
            return _slipping(verdict, today)
        case Word.SLOWED:
            return _slowed(verdict, today)
        case Word.UNDECIDED:
            return f"Undecided{leaning_words(verdict)}: {missing(verdict)}."
        case Word.TOO_EARLY:
            return f"Too early to say: {missing(verdict)}."
        case other:
            assert_never(other)


def _gaining(verdict: Verdict, today: dt.date | None) -> str:
    rate = rate_words(verdict.rate, verdict.rate_low, verdict.rate_high)
    return f"Gaining {since_words(verdict, today)}: {rate}; {sure(verdict.p_gaining)} sure."


def _plateau(verdict: Verdict, today: dt.date | None) -> str:
    return (
        f"On a plateau {since_words(verdict, today)}: no change beyond the margin of "
        f"{number(verdict.band)} % a month; {sure(verdict.p_flat)} sure."
    )


def _slipping(verdict: Verdict, today: dt.date | None) -> str:
    rate = rate_words(verdict.rate, verdict.rate_low, verdict.rate_high)
    return f"Slipping {since_words(verdict, today)}: {rate}; {sure(verdict.p_slipping)} sure."


def _slowed(verdict: Verdict, today: dt.date | None) -> str:
    rate = rate_words(verdict.rate, verdict.rate_low, verdict.rate_high)
    return (
        f"Slowed {since_words(verdict, today)}: now {rate}; {sure(verdict.p_slowed)} sure "
        "that this is a lower rate than before."
    )


def leaning_words(verdict: Verdict) -> str:
    """Return ", leaning to a plateau (62 %)"; empty where it leans to nothing.

    Where another class is nearly as likely both are named.
    """
    if verdict.leaning is None:
        return ""
    rivals: dict[TrendClass, float] = {
        Word.GAINING: verdict.p_gaining,
        Word.PLATEAU: verdict.p_flat,
        Word.SLIPPING: verdict.p_slipping,
    }
    near = [
        word for word, p in rivals.items() if word != verdict.leaning.word and verdict.leaning.p - p < NEAR
    ]
    if near:
        return f", {_as_likely(verdict.leaning.word, max(near, key=rivals.__getitem__))}"
    return f", leaning to {class_words(verdict.leaning.word)} ({sure(verdict.leaning.p)})"


NEAR: Final = 0.10
"""Closer than this two probabilities are said to be alike."""


def _as_likely(one: TrendClass, other: TrendClass) -> str:
    """Return "as likely gaining as flat", in one order whichever leads."""
    first, second = sorted((one, other), key=_BY_RATE.index)
    return f"as likely {_class_adjective(first)} as {_class_adjective(second)}"


_BY_RATE: Final[tuple[TrendClass, ...]] = (Word.GAINING, Word.PLATEAU, Word.SLIPPING)


def _class_adjective(said: TrendClass) -> str:
    return "flat" if said is Word.PLATEAU else class_words(said)


def class_words(said: TrendClass) -> str:
    """Return a class as it stands after "leaning to"."""
    match said:
        case Word.GAINING:
            return "gaining"
        case Word.PLATEAU:
            return "a plateau"
        case Word.SLIPPING:
            return "slipping"
        case other:
            assert_never(other)


def missing(verdict: Verdict) -> str:
    """Return what a verdict still lacks, as a clause."""
    if verdict.lacks:
        return f"{_short_of(verdict)} that a verdict needs"
    if any(isinstance(reason, HiddenSwitch) for reason in verdict.reasons):
        return "a switch can't be told apart from a change of pace"
    enter = next((reason.enter for reason in verdict.reasons if isinstance(reason, NotSure)), None)
    above, inside, below = (sure(p, enter) for p in (verdict.p_gaining, verdict.p_flat, verdict.p_slipping))
    clause = f"above the margin {above}, inside it {inside}, below it {below}, and none is sure enough yet"
    if verdict.tests_to_tell is None:
        return f"{clause}; at this rhythm of testing that may last over a year"
    if verdict.tests_to_tell == 0:
        return f"{clause}; the next test may tell"
    return f"{clause}; about {count(verdict.tests_to_tell, 'more test')} may tell"


def no_line(verdict: Verdict) -> str:
    """Return why a chart has no line through its tests; "" where it has one."""
    return f"No line yet: {_short_of(verdict)} it needs." if verdict.lacks else ""


def _short_of(verdict: Verdict) -> str:
    return " and ".join(map(_short, verdict.lacks))


def _short(lack: Lack) -> str:
    match lack:
        case FewTests(tests, needed):
            return f"{tests} of the {needed} tests"
        case ShortRecord(weeks, needed):
            return f"{number(weeks, 0)} of the {number(needed, 0)} weeks"
        case other:
            assert_never(other)


def _staleness(verdict: Verdict, today: dt.date | None) -> str:
    if not verdict.stale:
        return ""
    days = (verdict.as_of - verdict.last).days
    last = day(verdict.last, today or verdict.as_of)
    return f" This stands as of the last test, {last}, {count(days, 'day')} ago."


def in_other_words(verdict: Verdict | None) -> str:
    """Return the verdict again for somebody who has never met a margin or a rate."""
    if verdict is None:
        return "Nothing can be said before the first timed test swim is written down."
    margin = in_seconds(verdict.band, verdict.present_pace)
    month = in_seconds(verdict.rate, verdict.present_pace)
    match verdict.verdict:
        case Word.GAINING:
            return f"Pace is getting better: about {month} quicker each month."
        case Word.PLATEAU:
            return (
                f"Pace seems to have held level: it is likely ({sure(verdict.p_flat)}) to have moved by less "
                f"than the tests are asked to show, {margin} in a month."
            )
        case Word.SLIPPING:
            return f"Pace has been getting slower: about {month} each month."
        case Word.SLOWED:
            return "Pace is changing for the better more slowly than it did before."
        case Word.UNDECIDED | Word.TOO_EARLY:
            return "The tests so far fit more than one answer; the next ones decide."
        case other:
            assert_never(other)


def data_line(verdict: Verdict | None, as_of: dt.date) -> str:
    """Return what the verdict rests on: days with a test, from when to when."""
    if verdict is None:
        return f"No tests up to {full_day(as_of)}."
    scale = f", on the scale of {verdict.reference}" if verdict.reference else ""
    first, last = full_day(verdict.first), full_day(verdict.last)
    dates = f", {last}" if first == last else f" from {first} to {last}"
    return f"{count(verdict.tests, 'test day')}{dates}{scale}."


def has_rate(verdict: Verdict) -> bool:
    """Return whether the tests say anything of a rate or a scatter; from one, both would be the roster's."""
    return verdict.tests > 1


def pace_line(verdict: Verdict) -> str:
    """Return where the line stands at the last test; about where, while there is none to draw."""
    scale = f" ({verdict.reference})" if verdict.reference else ""
    at = f"{pace(verdict.present_pace)} min:s per 100 m{scale}"
    stands = "The tests so far stand at about" if verdict.lacks else "The line stands at"
    return f"{stands} {at} on {full_day(verdict.last)}."


def shown_stretches(verdict: Verdict) -> tuple[FlatStretch, ...]:
    """Return the flat stretches to tell of and to shade, in order.

    Those that are over, and the present one only where the verdict calls it a plateau: else a line that may
    be gaining as well as flat would stand there as level.
    """
    over = tuple(stretch for stretch in verdict.flat_stretches if not stretch.current)
    present = verdict.present_stretch
    return over if present is None else (*over, present)


def from_the_start(stretch: FlatStretch, verdict: Verdict) -> bool:
    """Return whether a stretch is there from the first test on, so that its onset lies before the record."""
    return stretch.start <= verdict.first


def stretch_words(stretch: FlatStretch, verdict: Verdict) -> str:
    """Return from when to when a stretch was level, with the 90 % intervals of both."""
    as_of = verdict.as_of
    if from_the_start(stretch, verdict):
        begins = f"before the first test ({full_day(verdict.first)})"
    else:
        begins = f"about {_about(stretch.start, stretch.start_low, stretch.start_high, as_of)}"
    ends = "now"
    if not stretch.current:
        ends = f"about {_about(stretch.end, stretch.end_low, stretch.end_high, as_of)}"
    return f"Level from {begins} to {ends}."


def _about(date: dt.date, low: dt.date | None, high: dt.date, as_of: dt.date) -> str:
    return f"{full_day(date)} ({between(low, high, as_of)})"


def target_sentence(aim: Target) -> str:
    """Return what the target asks for and how likely it is."""
    target = f"Target: {pace(aim.pace)} per 100 m by {full_day(aim.date)}."
    if aim.needed <= 0:
        return f"{target} The line is there already; {sure(aim.chance)} that a test is still there then."
    return (
        f"{target} That takes {aim.needed:.2f} % a month; "
        f"the chance that a test on that day is there is {sure(aim.chance)}."
    )


def ahead_sentence(ahead: PaceForecast) -> str:
    """Return the pace of a test to come, with its interval."""
    return (
        f"A test on {full_day(ahead.date)} is expected at {pace(ahead.pace)} "
        f"(90 %: {pace(ahead.fastest)} to {pace(ahead.slowest)})."
    )


def to_come(verdict: Verdict) -> list[str]:
    """Return every other pace to come, where the tests carry a rate to go on by, and the target."""
    ahead = [ahead_sentence(one) for one in verdict.forecast[::2]] if has_rate(verdict) else []
    return ahead + ([target_sentence(verdict.target)] if verdict.target else [])
