"""Cells of a table and rows of swims.

A column remembers what its texts mean: long files repeat the same few, and a million rows
are read without a million validations, by exactly the rule that a single record obeys.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import Annotated, Any, assert_never

from pydantic import TypeAdapter, ValidationError

from tracker.entry.dates import parse_file_date
from tracker.entry.times import parse_number, parse_time, parse_whole, shown
from tracker.errors import NotReadError
from tracker.model.about import CellForm, fields_of
from tracker.model.base import Record
from tracker.model.swim_test import SwimTest
from tracker.model.text import REPLACEMENT, clean_line, clean_note, unguarded
from tracker.model.units import distance_in_m
from tracker.model.vocabularies import SwimTestKind
from tracker.remedies import Mend, SayClock
from tracker.settings import DEFAULT

CLOCK = "\x1fclock"
"""Ends a cell that a workbook holds as a time of day of an hour or more."""


class Column(dict[str, Any]):
    """The values of one field by the text of its cells; a bad text raises `ValueError` every time.

    Attributes
    ----------
    cleaned
        Texts met since it was last emptied that held harmful characters, now replaced.
    """

    def __init__(
        self,
        kind: type[Record],
        field: str,
        *,
        order: str | None = None,
        comma: bool = False,
        guarded: bool = False,
        clock: str = "",
    ) -> None:
        super().__init__()
        info = kind.model_fields[field]
        marks = [mark for mark in info.metadata if type(mark).__module__ != "sqlmodel.main"]
        annotation: Any = Annotated[(info.annotation, *marks)] if marks else info.annotation
        self._rule: TypeAdapter[Any] = TypeAdapter(annotation)
        about = fields_of(kind)[field]
        self._form: CellForm = about.form
        self._notes = about.notes
        self._order = order
        self._comma = comma
        self._clock = clock
        self._guarded = guarded and self._form == "text"
        self.needed = info.is_required()
        self.default = None if self.needed else info.default
        self.cleaned: list[str] = []

    def stand_in(self, text: str) -> None:
        """Let `text` stand for every empty cell."""
        value = self[text]
        self.needed, self.default = False, value
        self.clear()

    def __missing__(self, text: str) -> Any:  # noqa: ANN401 - a field's value
        value = self._value(text)
        if not self.cleaned:
            self[text] = value
        return value

    def _value(self, text: str) -> Any:  # noqa: ANN401 - a field's value
        written = text if self._form == "text" else text.strip()
        if not written:
            if self.needed:
                raise ValueError("is missing")
            return self.default
        try:
            return self._rule.validate_python(self._parsed(written))
        except ValidationError as error:
            said = error.errors(include_url=False)[0]["msg"].removeprefix("Value error, ")
            raise ValueError(f"{shown(clean_line(written))} {_reworded(said)}") from None

    def _parsed(self, text: str) -> object:
        form = self._form
        if text.endswith(CLOCK):
            text = self._from_clock(text.removesuffix(CLOCK))
        if form == "text":
            return self._harmless(unguarded(text) if self._guarded else text)
        if form == "word":
            return text.lower()
        if form == "date":
            return parse_file_date(text, self._order)
        if form == "time":
            return parse_time(text, comma=self._comma)
        plain = text.replace(",", ".") if self._comma else text
        return parse_whole(plain) if form == "whole" else parse_number(plain)

    def _from_clock(self, text: str) -> str:
        """Return what a workbook's time of day means in this column.

        6 min 45 s typed as 6:45 is stored as a quarter to seven: nobody but the writer knows.
        """
        hours, minutes, seconds = text.split(":")
        if self._form == "text":
            return f"{int(hours):02d}:{minutes}"
        if self._form != "time" or self._clock == "hours" or float(seconds):
            return text
        if self._clock == "minutes":
            return f"{hours}:{minutes}"
        raise NotReadError(
            f"'{text}' stands in the workbook as hours", SayClock(minutes=int(hours), seconds=minutes)
        )

    def _harmless(self, text: str) -> str:
        clean = clean_note(text) if self._notes else clean_line(text)
        if clean.count(REPLACEMENT) > text.count(REPLACEMENT):
            self.cleaned.append(clean)
        return clean


def _reworded(said: str) -> str:
    """Return a rule's complaint as the end of a sentence."""
    lowered = said[:1].lower() + said[1:]
    return lowered.replace("input should be", "should be") if lowered.startswith("input") else lowered


CourseOf = Callable[[str, dt.date, str, float | None], str]
"""Gives the course of a swim that names none, by swimmer, date, test and seconds."""


def configured_course(_swimmer: str, _date: dt.date, _test: str, _time_s: float | None) -> str:
    """Return the course of the settings as they come, whoever swam."""
    return DEFAULT.course


class SwimRows:
    """Completes the values of a row of swims.

    Parameters
    ----------
    names
        The fields in the order of the values.
    tests
        All test definitions by their short names.
    course_of
        Gives the course of a swim that names none.
    yards
        Whether the file's distances are yards.

    Attributes
    ----------
    unnamed
        Course -> rows that named none and were taken as of it.
    """

    def __init__(
        self, names: Sequence[str], tests: Mapping[str, SwimTest], course_of: CourseOf, *, yards: bool
    ) -> None:
        self._test, self._course = names.index("test"), names.index("course")
        self._distance, self._time = names.index("distance_m"), names.index("time_s")
        self._swimmer, self._date = names.index("swimmer"), names.index("date")
        self._tests = tests
        self._course_of = course_of
        self._yards = yards
        self.unnamed: Counter[str] = Counter()

    def complete(self, values: list[Any]) -> list[Any]:
        """Return the values with course, distance and time.

        Raises
        ------
        ValueError
            If the row does not say one of them, and its test does not either.
        """
        test = self._tests.get(values[self._test])
        time = values[self._time] if values[self._time] is not None or test is None else test.duration_s
        unnamed = values[self._course] is None
        if unnamed:
            values[self._course] = self._course_of(
                values[self._swimmer], values[self._date], values[self._test], time
            )
        if values[self._distance] is None:
            values[self._distance] = self._own_distance(values)
        elif self._yards:
            values[self._distance] = distance_in_m(values[self._distance], "SCY")
        if time is None:
            raise ValueError("time: is missing")
        values[self._time] = time
        if unnamed:
            self.unnamed[values[self._course]] += 1
        return values

    def _own_distance(self, values: list[Any]) -> float:
        name = values[self._test]
        test = self._tests.get(name)
        if test is None and name:
            raise NotReadError(f"distance_m: is missing, and no test is called {name!r}", Mend.SEE_TESTS)
        distance = None if test is None else _one_distance(test)
        if distance is None:
            raise ValueError("distance_m: is missing, and the test does not say it")
        return distance_in_m(distance, values[self._course])


def _one_distance(test: SwimTest) -> float | None:
    """Return the distance that a test alone says of each swim; None where it says none or several."""
    match test.kind:
        case SwimTestKind.DISTANCES:
            return float(test.distances) if len(test.distances.split()) == 1 else None
        case SwimTestKind.DURATION | SwimTestKind.REPEATS:
            return None
        case other:
            assert_never(other)
