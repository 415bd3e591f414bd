"""Log test swims: one test, a squad's, or a preview of one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, replace

from tracker.app.consents import check_may_record
from tracker.app.session import Session
from tracker.app.swim_tests import find_test
from tracker.entry.swim_form import TypedTest, read_test_swims
from tracker.errors import DecisionNeededError, EntryError, Problem
from tracker.model.age import may_be_minor
from tracker.model.css import Css, critical_speed
from tracker.model.doubts import Doubt, LoggedTwice
from tracker.model.plausibility import doubts, thirty_doubt, usual_doubt
from tracker.model.practices import Caution
from tracker.model.swim import Swim
from tracker.model.swim_test import BUILT_IN, SwimTest
from tracker.model.swimmer import Swimmer
from tracker.model.usual_course import UsualCourse, usual_course
from tracker.model.vocabularies import Decision
from tracker.output.sentences.doubts import doubt_sentence, doubt_word
from tracker.output.sentences.numbers import count
from tracker.remedies import Mend
from tracker.settings import Settings
from tracker.store.reading import Reader
from tracker.store.writing import Writer
from tracker.technique.cautions import FREE_TEXT, codes_in


def usual_course_of(session: Session, name: str) -> UsualCourse:
    """Return what is taken for a swimmer where no course is named; raises `UnknownNameError`."""
    with session.store.read() as reader:
        label = reader.swimmer(name).record.swimmer
        return usual_course([row.record for row in reader.all(Swim, swimmer=label)], session.settings.course)


@dataclass(frozen=True)
class LoggedSwims:
    """What was logged.

    Attributes
    ----------
    numbers
        The row numbers of `swims`.
    css
        The CSS of a pair (or more distances), else None.
    remarks
        What is unusual; what is implausible was accepted.
    care
        The cautions it calls for: those on maximal tests, and on a child's, with a swimmer's first one
        here; others by the words of the course, the kit, the notes and the coach's own test.
    unnamed
        The course taken where none was named, else None.
    """

    swimmer: Swimmer
    swims: tuple[Swim, ...]
    numbers: tuple[int, ...]
    css: Css | None
    remarks: tuple[Doubt, ...]
    care: tuple[Caution, ...]
    unnamed: UsualCourse | None


class ImplausibleError(DecisionNeededError):
    """The swims are implausible, or may be mistyped, and nobody has accepted them yet; holds the doubts."""

    def __init__(self, found: Sequence[Doubt]) -> None:
        self.doubts = tuple(found)
        said = "; ".join(doubt_sentence(doubt) for doubt in found)
        super().__init__(f"{doubt_word(found)}: {said}", Mend.ACCEPT)


def log_test(session: Session, typed: TypedTest) -> LoggedSwims:
    """Log one test of one swimmer.

    Raises
    ------
    UnknownNameError
        If the swimmer or the test is not known.
    EntryError
        With every problem of the form.
    ImplausibleError
        If something is implausible, or may be mistyped and somebody is there to be asked, and nobody has
        accepted it; nothing is stored.
    """
    with session.store.read() as reader:
        swimmer = reader.swimmer(typed.name).record
        definition = find_test(reader, typed.test)
    with session.write(f"log {definition.test} for {swimmer.swimmer}") as writer:
        checked = check_test(writer, typed, as_of=session.today, settings=session.settings)
        if found := open_doubts(checked, typed):
            raise ImplausibleError(found)
        return stored(writer, checked)


def open_doubts(checked: LoggedSwims, typed: TypedTest) -> list[Doubt]:
    """Return what a person must answer before it is stored; nothing where they have said that it is right."""
    if typed.accepted:
        return []
    return [doubt for doubt in checked.remarks if doubt.implausible or (typed.can_ask and doubt.asked)]


def stored(writer: Writer, checked: LoggedSwims) -> LoggedSwims:
    """Store swims without open doubts: an implausible one was accepted, and is stored so."""
    swims = checked.swims
    if any(doubt.implausible for doubt in checked.remarks):
        swims = tuple(swim.model_copy(update={"decision": Decision.ACCEPTED}) for swim in swims)
    return replace(checked, swims=swims, numbers=tuple(writer.add(swims)))


def check_test(
    reader: Reader, typed: TypedTest, *, as_of: dt.date, settings: Settings, whole: bool = False
) -> LoggedSwims:
    """Return what logging would give, without storing anything; raises as `log_test` does, but never asks.

    With `whole`, a part of the swimmer's name is not enough.
    """
    swimmer = reader.swimmer(typed.name, whole=whole).record
    check_may_record(reader, swimmer.swimmer, as_of)
    definition = find_test(reader, typed.test)
    earlier = [row.record for row in reader.all(Swim, swimmer=swimmer.swimmer)]
    usual = usual_course(earlier, settings.course)
    read = read_test_swims(typed, definition, swimmer, course=usual.course, as_of=as_of, limits=settings)
    swims = _as_a_set(read, earlier)
    remarks = _remarks(swims, earlier, _doubts(swims, earlier, settings))
    child = (Caution.CHILD,) if may_be_minor(swimmer.born, as_of) else ()
    care = codes_in(_words(swims, definition), () if earlier else (Caution.MAXIMAL_TEST, *child))
    taken = None if typed.form.get("course", "").strip() else usual
    return LoggedSwims(swimmer, swims, (), _css(swims), remarks, care, taken)


def _words(swims: Sequence[Swim], definition: SwimTest) -> list[str]:
    """Return what people wrote about a test: of the swims, and of the definition if it is the coach's own."""
    own = () if definition in BUILT_IN else (definition.test, definition.name, definition.protocol)
    return [*own, *(text for s in swims for text in (getattr(s, field, "") for field in FREE_TEXT))]


def _as_a_set(swims: tuple[Swim, ...], earlier: Sequence[Swim]) -> tuple[Swim, ...]:
    """Return the swims of one test under one set, numbered where the day has one already."""
    if len(swims) < 2:
        return swims
    stem = f"{swims[0].date.isoformat()} {swims[0].test}"
    taken = {swim.set_id for swim in earlier}
    number, name = 1, stem
    while name in taken:
        number += 1
        name = f"{stem} {number}"
    return tuple(swim.model_copy(update={"set_id": name}) for swim in swims)


def _doubts(swims: Sequence[Swim], earlier: Sequence[Swim], settings: Settings) -> list[Doubt]:
    found: list[Doubt] = []
    companions = [*earlier, *swims]
    for swim in swims:
        found += [doubt for doubt in doubts(swim, companions, settings) if doubt not in found]
    return found


def _css(swims: Sequence[Swim]) -> Css | None:
    """Return the CSS where different distances were swum and a longer one took longer."""
    if len({swim.distance_m for swim in swims}) < 2:
        return None
    times = [swim.time_s for swim in sorted(swims, key=lambda swim: swim.distance_m)]
    if times != sorted(set(times)):
        return None
    return critical_speed([swim.distance_m for swim in swims], [swim.time_s for swim in swims])


def _remarks(swims: Sequence[Swim], earlier: Sequence[Swim], found: Sequence[Doubt]) -> tuple[Doubt, ...]:
    remarks = list(found)
    for swim in swims:
        usual = usual_doubt(swim, earlier)
        if usual is not None:
            remarks.append(usual)
        if any(_same(swim, one) for one in earlier):
            remarks.append(LoggedTwice(swim.distance_m, swim.time_s))
    remarks += _above_css(swims, earlier)
    return tuple(remarks)


def _same(one: Swim, other: Swim) -> bool:
    return (one.date, one.test, one.distance_m, one.time_s) == (
        other.date,
        other.test,
        other.distance_m,
        other.time_s,
    )


def _above_css(swims: Sequence[Swim], earlier: Sequence[Swim]) -> list[Doubt]:
    """Return a remark if 30 minutes were swum no slower than the last CSS of the same pool and suit."""
    thirty = next((swim for swim in swims if swim.test == "t30"), None)
    if thirty is None:
        return []
    like = [
        s
        for s in earlier
        if s.test == "css"
        and s.set_id
        and s.decision != Decision.ASIDE
        and (s.course, s.suit) == (thirty.course, thirty.suit)
    ]
    last = [swim for swim in like if swim.set_id == like[-1].set_id]
    css = _css(last)
    doubt = thirty_doubt(thirty.pace, css.pace) if css else None
    return [doubt] if doubt else []


class SquadProblemsError(EntryError):
    """Some rows cannot be taken; holds every problem with the swimmer in whose row it is."""

    def __init__(self, by_swimmer: Sequence[tuple[str, Problem]]) -> None:
        super().__init__(tuple(problem for _, problem in by_swimmer))
        self.by_swimmer = tuple(by_swimmer)


class SquadDoubtsError(DecisionNeededError):
    """Some rows are implausible, or may be mistyped, and nobody has accepted them; holds the doubts."""

    def __init__(self, by_swimmer: Sequence[tuple[str, Doubt]]) -> None:
        names = ", ".join(dict.fromkeys(name for name, _ in by_swimmer))
        super().__init__(f"{doubt_word(doubt for _, doubt in by_swimmer)}: {names}; accept it, or mend it")
        self.by_swimmer = tuple(by_swimmer)


def log_squad(session: Session, rows: Sequence[TypedTest]) -> tuple[LoggedSwims, ...]:
    """Log a test of each swimmer in one transaction.

    Raises
    ------
    UnknownNameError
        If a swimmer or test is not known.
    SquadProblemsError
        With every problem of every row.
    SquadDoubtsError
        As `log_test` raises `ImplausibleError`; nothing is stored.
    """
    checked: list[LoggedSwims] = []
    problems: list[tuple[str, Problem]] = []
    doubtful: list[tuple[str, Doubt]] = []
    with session.write(f"log a test for {count(len(rows), 'swimmer')}") as writer:
        for typed in rows:
            try:
                one = check_test(writer, typed, as_of=session.today, settings=session.settings, whole=True)
            except EntryError as error:
                problems += [(typed.name, problem) for problem in error.problems]
                continue
            doubtful += [(typed.name, doubt) for doubt in open_doubts(one, typed)]
            checked.append(one)
        if problems:
            raise SquadProblemsError(problems)
        if doubtful:
            raise SquadDoubtsError(doubtful)
        return tuple(stored(writer, one) for one in checked)


def preview_test(session: Session, typed: TypedTest) -> LoggedSwims:
    """Return the swims, the CSS and the remarks; nothing is stored.

    Raises
    ------
    UnknownNameError
        If the swimmer or the test is not known.
    EntryError
        With every problem of the form.
    """
    with session.store.read() as reader:
        return check_test(reader, typed, as_of=session.today, settings=session.settings)
