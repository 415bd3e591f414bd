"""The course that a test of a swimmer has where nobody names one."""

from __future__ import annotations

from tracker.records.swim import Swim
from tracker.records.usual_course import UsualCourse, usual_course
from tracker.settings import Settings
from tracker.store.database import Store


def usual_course_of(store: Store, name: str, settings: Settings) -> UsualCourse:
    """Return what is taken for a swimmer where no course is named; raises `UnknownNameError`."""
    with store.read() as reader:
        label = reader.swimmer(name).record.swimmer
        return usual_course([kept.record for kept in reader.all(Swim, swimmer=label)], settings.course)
