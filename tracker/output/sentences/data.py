"""Sentences on data coming in, calculators and checks."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any, Final, assert_never

from tracker.model.css import TRIAL_ERROR, Css, SetPace, pace_interval
from tracker.model.units import YARD_M, format_time, plain_number
from tracker.model.vocabularies import DamagedPart
from tracker.output.sentences.numbers import count, listed

if TYPE_CHECKING:
    from tracker.model.usual_course import UsualCourse


def trouble_sentence(places: Sequence[DamagedPart | str], command: str) -> str:
    """Return what is wrong and what to type; "" where nothing is.

    Parameters
    ----------
    places
        Where something was found: a part of the file, or the path of what others can read.
    command
        The command that checks this database.
    """
    if not places:
        return ""
    wrong = dict.fromkeys(map(_wrong, places))
    return f"Something is wrong with this record: {listed(list(wrong))}. Leave (ctrl+q) and type: {command}"


def _wrong(place: DamagedPart | str) -> str:
    if not isinstance(place, DamagedPart):
        return "others can read it"
    match place:
        case DamagedPart.FILE:
            return "parts of its file are damaged"
        case DamagedPart.HEADER:
            return "its mark or version is not what it should be"
        case DamagedPart.TABLES:
            return "its tables are not as slackwater made them"
        case other:
            assert_never(other)


KINDS: Final[Mapping[str, tuple[str, str]]] = {
    "swimmers": ("swimmer", ""),
    "swims": ("swim", ""),
    "tests": ("test of the club's own", "tests of the club's own"),
    "reviews": ("entry of a review", "entries of reviews"),
    "faults": ("step of a fault", "steps of faults"),
    "own_faults": ("fault of the club's own", "faults of the club's own"),
    "work": ("cue or drill", "cues and drills"),
    "events": ("event", ""),
    "load": ("week of swimming", "weeks of swimming"),
    "consents": ("consent", ""),
    "choices": ("decision of the coach", "decisions of the coach"),
    "told": ("word told", "words told"),
}
"""Stem of a club's file -> what one row of it is, and several."""


def added_words(added: Mapping[str, int]) -> str:
    """Return "1 swimmer, 12 swims"; what is not there is left out."""
    said = [count(rows, *KINDS[stem]) for stem, rows in added.items() if rows]
    return ", ".join(said) or "nothing new"


CAVEAT: Final = (
    "A computed pace, no measured one: studies found it held for 15 to 40 minutes, differing by swimmer; a "
    "30-minute swim is usually 3 to 9 % slower."
)


def distance_words(distance_m: float, course: str = "") -> str:
    """Return a distance in the course's own unit: "400 m", "400 yd"."""
    if course == "SCY":
        return f"{plain_number(round(distance_m / YARD_M, 2))} yd"
    return f"{plain_number(round(distance_m, 2))} m"


def trials_words(css: Css, course: str = "") -> str:
    """Return "400 m in 6:40 and 200 m in 3:10", longest first."""
    trials = [
        f"{distance_words(distance, course)} in {format_time(time)}"
        for distance, time in zip(reversed(css.distances_m), reversed(css.times_s), strict=True)
    ]
    return f"{', '.join(trials[:-1])} and {trials[-1]}"


OWN_SCATTER: Final = ", as their own tests scatter"


def css_sentence(css: Css, course: str = "", *, own: float | None = None, error: float = TRIAL_ERROR) -> str:
    """Return the CSS in one line.

    Parameters
    ----------
    course
        Course of the trials, for the unit of their distances.
    own
        Typical error of one of the swimmer's tests, a fraction; None where it is not known.
    error
        What to take where it is not known.
    """
    low, high = pace_interval(css, error if own is None else own)
    error, whose = (error, ", assumed" if error == TRIAL_ERROR else "") if own is None else (own, OWN_SCATTER)
    return (
        f"CSS {format_time(css.pace, 1)} per 100 m (90 % interval {format_time(low, 1)} to "
        f"{format_time(high, 1)}, at {plain_number(round(100 * error, 2))} % a trial{whose}), "
        f"from {trials_words(css, course)}"
    )


def css_details(css: Css, rate: float | None = None) -> tuple[str, ...]:
    """Return the further lines: speed, D', critical rate, what it is."""
    fit = "" if css.r2 is None else f"; r2 {css.r2:.4f} over {len(css.times_s)} trials"
    lines = [
        f"speed {css.speed:.4f} m/s{fit}",
        f"D' {css.intercept_m:.1f} m (off by 4 to 9 m as a rule: use it to check the times, not as a result)",
    ]
    if rate is not None:
        lines.append(f"critical stroke rate {rate:.1f} cycles/min")
    return (*lines, CAVEAT)


def css_json(css: Css, error: float, rate: float | None = None) -> dict[str, Any]:
    """Return the CSS as JSON values."""
    low, high = pace_interval(css, error)
    return {
        "schema": 1,
        "css_pace": round(css.pace, 3),
        "css_pace_low": round(low, 3),
        "css_pace_high": round(high, 3),
        "css_speed": round(css.speed, 6),
        "d_prime_m": round(css.intercept_m, 3),
        "trial_error_pct": round(100 * error, 4),
        "distances_m": list(css.distances_m),
        "times_s": list(css.times_s),
        "r2": None if css.r2 is None else round(css.r2, 6),
        "critical_rate_cpm": None if rate is None else round(rate, 3),
    }


def set_rows(rows: Sequence[SetPace]) -> list[tuple[str, ...]]:
    """Return the cells of a table of sets: distance, time at CSS, a send-off for each rest."""
    return [
        (
            f"{plain_number(row.distance_m)} m",
            format_time(row.time_s, 1),
            *(format_time(off, 0) for off in row.send_offs_s),
        )
        for row in rows
    ]


def course_note(taken: UsualCourse | None) -> str:
    """Return that a test goes under another course than the swimmer's last swim; empty where none does."""
    if taken is None or taken.last in {"", taken.course}:
        return ""
    return (
        f"{usual_words(taken)}, is taken, but the last swim was {taken.last}: name the course if this was too"
    )


def usual_words(taken: UsualCourse) -> str:
    """Return "SCM, the usual pool"."""
    return f"{taken.course}, {'the usual pool' if taken.usual else 'as the settings say'}"


def courses_words(courses: Iterable[str]) -> str:
    """Return "in SCM", or "5 in SCM, 1 in LCM" where they differ."""
    times = Counter(courses).most_common()
    if len(times) == 1:
        return f"in {times[0][0]}"
    return ", ".join(f"{number} in {course}" for course, number in times)
