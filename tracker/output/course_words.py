"""What is said of a course that nobody named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from tracker.records.usual_course import UsualCourse


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
