"""The closer look in words: each second opinion with its own caveat, other priors, repeats, rhythms."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Final, assert_never

from tracker.engine.trend.forecast import RHYTHMS
from tracker.engine.trend.second_opinion import LEVEL, Method, Opinion
from tracker.engine.verdict.verdict import Verdict, Word
from tracker.output.sentences.numbers import capital, full_day, number, rate_words
from tracker.output.sentences.verdict import has_rate, to_come

if TYPE_CHECKING:
    from tracker.engine.trend.reliability import Reliability
    from tracker.engine.trend.sensitivity import Drift
    from tracker.engine.verdict.second_look import Rhythm, SecondLook
    from tracker.technique.held_back import HeldBack

Section = tuple[str, list[str]]
WEEK_DAYS: Final = 7.0

NO_OPINION: Final = "no second opinion, for it did not converge"
AGREES: Final = {True: "agrees", False: "disagrees", None: "cannot tell"}


def second_look_sections(closer: SecondLook, verdict: Verdict, held: HeldBack) -> list[Section]:
    """Return titled groups of sentences; empty groups are left out.

    No rhythm is named at which the swimmer is not to test.
    """
    days = dict(RHYTHMS)
    rhythms = [
        rhythm
        for rhythm in closer.rhythms
        if held.may_test and days[rhythm.name] >= held.days_between_tests(0)
    ]
    sections = [
        ("When a verdict is likely", [rhythm_line(rhythm) for rhythm in rhythms]),
        ("What is to come", to_come(verdict)),
        ("Second opinion", [opinion_line(opinion) for opinion in closer.opinions]),
        ("Under other expectations", _others(closer, verdict)),
        ("Tests that drift apart", [drift_line(drift) for drift in closer.drifts]),
        ("The tests themselves", _tests(closer)),
    ]
    return [(title, lines) for title, lines in sections if lines]


def rhythm_line(rhythm: Rhythm) -> str:
    """Return how soon a verdict is likely at a rhythm of testing."""
    if rhythm.tests is None or rhythm.by is None:
        return f"Testing {rhythm.name}: not likely within a year."
    if rhythm.tests == 0:
        return f"Testing {rhythm.name}: with the next tests."
    strain = (
        " All-out swims this often are a strain; never under 18 (common practice)."
        if dict(RHYTHMS)[rhythm.name] < WEEK_DAYS
        else ""
    )
    return (
        f"Testing {rhythm.name}: more likely than not after about {rhythm.tests} more, "
        f"by {full_day(rhythm.by)}.{strain}"
    )


def opinion_line(opinion: Opinion) -> str:
    """Return one outside opinion with its caveat."""
    name = _method(opinion.method)
    if opinion.value is None:
        return f"{name}: {NO_OPINION}."
    if opinion.low is None or opinion.high is None:
        found = f"p = {opinion.value:.3f}"
    else:
        found = rate_words(opinion.value, opinion.low, opinion.high)
    caveat = _caveat(opinion.method, opinion.value)
    return f"{name}: {found}; {AGREES[opinion.agrees]} ({caveat})."


def _method(method: Method) -> str:
    match method:
        case Method.WLS:
            return "Weighted least squares on the same joints, errors robust to correlated weeks"
        case Method.ROBUST:
            return "Robust regression on the same joints"
        case Method.STATE_SPACE:
            return "A smooth trend on a weekly grid"
        case Method.EQUIVALENCE:
            return "Equivalence test of the present stretch against the margin"
        case Method.CUSUM:
            return "Test whether one straight line would do for the whole record"
        case other:
            assert_never(other)


def _caveat(method: Method, value: float) -> str:
    """Return how far to trust what a method found."""
    match method:
        case Method.WLS | Method.ROBUST:
            return "it takes the joints as known, so its interval is too narrow"
        case Method.STATE_SPACE:
            return "it knows no joints, so it answers late"
        case Method.EQUIVALENCE:
            known = "it takes the beginning of the stretch as known"
            return f"{known}; failing to prove is no proof of change"
        case Method.CUSUM:
            if value >= LEVEL:
                return "no sign that one straight line would not do, which is no proof that it does"
            return "it says that something changed, not when or how"
        case other:
            assert_never(other)


def drift_line(drift: Drift) -> str:
    """Return how a kind of test moves against the rest."""
    what = drift.feature.split(" ", 1)[-1]
    way = "gaining on them" if drift.rate > 0 else "falling behind"
    return (
        f"{capital(what)}, against all other tests: {rate_words(drift.rate, drift.low, drift.high)}, {way}."
    )


def repeats_line(repeats: Reliability) -> str:
    """Return the noise from the swimmer's own repeats, and what follows from it."""
    error, low, high = (number(x, 1) for x in (repeats.typical_error, repeats.low, repeats.high))
    return (
        f"From {repeats.pairs} pairs of tests close together: typical error {error} % "
        f"(90 %: {low} to {high}); two single tests must differ by "
        f"{number(repeats.detectable, 1)} % to show any change."
    )


def _others(closer: SecondLook, verdict: Verdict) -> list[str]:
    silent = "too early to say" if verdict.lacks else Word.UNDECIDED
    lines = [f"Expecting {other.expects}: {other.word or silent}." for other in closer.others]
    changed = closer.depends_on_prior(verdict)
    if changed is not None:
        lines.append(
            f'So "{verdict.verdict}" depends on what is taken as usual; with another expectation it would be '
            f'"{changed}". More tests settle it.'
        )
    return lines


def _tests(closer: SecondLook) -> list[str]:
    lines = [repeats_line(closer.repeats)] if closer.repeats else []
    if closer.correlated >= 0.05:
        lines.append(
            f"About {100 * closer.correlated:.0f} % of the scatter is shared by neighbouring weeks, "
            "so they count for less than as many independent tests."
        )
    lines.append(f"What is taken as usual progress: {closer.basis}.")
    return lines


def first_weeks(verdict: Verdict | None, css: tuple[str, dt.date] | None) -> list[str]:
    """Return what is useful while no word is said: CSS and the test noise so far."""
    if verdict is not None and verdict.verdict.tells:
        return []
    lines = [] if css is None else [f"{css[0]} ({full_day(css[1])})."]
    if verdict is not None and has_rate(verdict):
        lines.append(
            f"One test scatters by about {number(verdict.noise_pct, 1)} % so far; "
            "the fewer the tests, the more of that is what is usual for others."
        )
    return lines
