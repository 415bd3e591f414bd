"""Log a test: the fields of its protocol, with pace, CSS and doubts said while one types."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import ClassVar, assert_never

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from tracker.app.log_swims import LoggedSwims
from tracker.engine.verdict.verdict import Verdict
from tracker.entry.swim_form import CIRCUMSTANCES, TypedTest
from tracker.errors import DecisionNeededError, EntryError, Problem, SlackwaterError, UnknownNameError
from tracker.model.about import RecordField
from tracker.model.practices import Caution
from tracker.model.swim import Swim
from tracker.model.swim_test import SwimTest
from tracker.model.vocabularies import SwimTestKind
from tracker.output.sentences.numbers import count
from tracker.tui.messages import SwimmerJudged
from tracker.tui.remedies import failure_words
from tracker.tui.screens.form import RecordForm
from tracker.tui.widgets.form_sheet import FormField
from tracker.tui.widgets.lines import TextLine

MOST_TIMES = 6
_TYPED_AS_TIMES = ("distance_m", "time_s")


class LogTestScreen(RecordForm):
    """The form of one test of one swimmer."""

    NAME = "Log a test"
    DRAFT = "log-test"
    LOGS = True
    KIND = Swim
    WITHOUT = ("test", *_TYPED_AS_TIMES)
    HINTS = (
        ("Enter", "next"),
        ("ctrl+s", "save"),
        ("F2", "steps of the test"),
        ("F8", "clear"),
        ("F1", "all keys"),
        ("Escape", "back"),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "steps", "show or hide the steps of the test", show=False, id="steps"),
    ]

    def __init__(self, swimmer: str) -> None:
        super().__init__(swimmer)
        self._tests: dict[str, SwimTest] = {}
        self._verdict: Verdict | None = None
        self._judged = ""
        self._logged: Sequence[str] = ()
        self._courses: dict[str, str] = {}
        self._named = swimmer

    def body(self) -> ComposeResult:
        """Yield the steps, hidden at first, above the form."""
        from tracker.app.swim_tests import list_tests

        self._tests = {test.test: test for test in list_tests(self.session)}
        yield TextLine(id="steps")
        yield from super().body()

    def on_mount(self) -> None:
        """Hide the steps, and begin."""
        self.query_one("#steps").display = False
        super().on_mount()

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:
        """Return swimmer and test, the times that this test has, then the circumstances."""
        test = self._tests.get(values.get("test", "css").casefold())
        times = [
            FormField(f"time{number}", label, hint)
            for number, (label, hint) in enumerate(time_labels(test), start=1)
        ]
        self._named = values.get("swimmer", self._for)
        swimmer, *circumstances = super().fields(values)
        return (
            swimmer,
            FormField("test", "test", " ".join(self._tests), value="css"),
            *times,
            *circumstances,
        )

    def hint(self, field: RecordField) -> str:
        """Return a field's hint; an empty course stands for the usual pool of who is named."""
        from tracker.app.log_swims import usual_course_of
        from tracker.output.sentences.data import usual_words

        if field.own != "course":
            return super().hint(field)
        if self._named not in self._courses:
            try:
                taken = usual_course_of(self.session, self._named)
            except SlackwaterError:
                return super().hint(field)
            self._courses[self._named] = usual_words(taken)
        return f"empty is {self._courses[self._named]}"

    def check(self) -> None:
        """Check, and keep the steps of the test at hand."""
        super().check()
        test = self._tests.get(self.sheet.values["test"].casefold())
        steps = test.protocol if test else ""
        self.query_one("#steps", TextLine).say(steps or "This test has no steps written down.", "quiet")

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Weigh what is typed as if it were logged."""
        from tracker.app.log_swims import preview_test

        if not values.get("swimmer") or not values.get("time1"):
            return (), "Pace, CSS and anything doubtful are said here while you type."
        try:
            logged = preview_test(
                self.session,
                self.typed_test(values),
            )
        except EntryError as error:
            return tuple(at_its_field(problem, values) for problem in error.problems), ""
        except UnknownNameError as error:
            return (Problem(error.what, error.name, failure_words(error)),), ""
        except SlackwaterError as error:
            return (), failure_words(error)
        self._judge_line(logged.swimmer.swimmer)
        return (), self._live(logged)

    def care(self, values: Mapping[str, str]) -> Sequence[Caution]:
        """Return what is typed of water, kit and test calls for, and, once it is saved, the test itself."""
        from tracker.technique.cautions import codes_in

        return codes_in((values.get(name, "") for name in self.SAID), self._logged)

    def submit(self, values: Mapping[str, str]) -> str:
        """Log the test."""
        from tracker.app.best_times import news_of_test
        from tracker.app.log_swims import ImplausibleError, log_test
        from tracker.output.sentences.best_times import news_line
        from tracker.output.sentences.doubts import doubt_sentence, doubt_word

        try:
            logged = log_test(
                self.session,
                self.typed_test(values, accept=self.accepted),
            )
        except EntryError as error:
            raise EntryError(tuple(at_its_field(problem, values) for problem in error.problems)) from error
        except ImplausibleError as error:
            said = "; ".join(doubt_sentence(doubt) for doubt in error.doubts)
            raise DecisionNeededError(
                f"{doubt_word(error.doubts).capitalize()}: {said}", error.remedy
            ) from error
        self._logged = logged.care
        told = (self._live(logged, beside=False), news_line(news_of_test(self.session, logged)))
        return f"Logged for {logged.swimmer.swimmer}: {' '.join(part for part in told if part)}"

    def typed_test(self, values: Mapping[str, str], *, accept: bool = False) -> TypedTest:
        """Return what is typed as the use-cases take it."""
        times = tuple(
            part for number in range(1, MOST_TIMES + 1) for part in values.get(f"time{number}", "").split()
        )
        form = {field.name: values.get(field.name, "") for field in CIRCUMSTANCES}
        return TypedTest(values.get("swimmer", ""), values.get("test", ""), times, form, accept, can_ask=True)

    def _live(self, logged: LoggedSwims, *, beside: bool = True) -> str:
        """Return what is said of a test; `beside`: how it compares with the line as it stands without it."""
        from tracker.model.units import format_time
        from tracker.output.sentences.data import course_note, css_sentence, distance_words
        from tracker.output.sentences.doubts import remark_words
        from tracker.output.sentences.evidence import beside_the_line

        paces = [
            f"{distance_words(s.distance_m, s.course)} at {format_time(s.pace, 1)}" for s in logged.swims
        ]
        parts = [
            f"{logged.swims[0].course}: "
            + ", ".join(paces[:4])
            + (f" and {len(paces) - 4} more" if len(paces) > 4 else "")
            + " per 100 m"
        ]
        if note := course_note(logged.unnamed):
            parts.append(note)
        verdict = self._verdict if self._judged == logged.swimmer.swimmer else None
        if logged.css is not None:
            own = verdict.own_noise if verdict else None
            parts.append(css_sentence(logged.css, logged.swims[0].course, own=own))
        if beside and verdict is not None:
            parts.append(beside_the_line(logged.swims[0].pace, verdict))
        parts += [remark_words(doubt) for doubt in logged.remarks]
        return ". ".join(parts) + "."

    def _judge_line(self, swimmer: str) -> None:
        if swimmer != self._judged:
            self._judged, self._verdict = swimmer, None
            self._judge(swimmer)

    @work(thread=True, exit_on_error=False, exclusive=True, group="line")
    def _judge(self, swimmer: str) -> None:
        from tracker.app.explain import why

        try:
            view = why(self.session, swimmer)
        except SlackwaterError:
            return
        self.post_message(SwimmerJudged(view))

    def on_swimmer_judged(self, message: SwimmerJudged) -> None:
        """Say from now on how a test compares with the line."""
        self._verdict = message.view.line.verdict
        self.check()

    def take_column(self, name: str, lines: Sequence[str]) -> None:
        """Put a pasted column of times into the fields for times, the last one taking what is left."""
        times = [field for field in self.sheet.values if field.startswith("time")]
        if name not in times:
            super().take_column(name, lines)
            return
        room = times[times.index(name) :]
        filled = dict(zip(room, lines, strict=False))
        if len(lines) > len(room):
            filled[room[-1]] = " ".join(lines[len(room) - 1 :])
        self.sheet.fill(filled)
        self.announce(f"{count(len(lines), 'time was', 'times were')} pasted.")

    def action_steps(self) -> None:
        """Show or hide the steps of the test."""
        steps = self.query_one("#steps")
        steps.display = not steps.display


def time_labels(test: SwimTest | None) -> list[tuple[str, str]]:
    """Return label and hint of each field for times that a test has."""
    if test is None:
        return [("time", "m:ss, m:ss.t or seconds")]
    match test.kind:
        case SwimTestKind.DURATION:
            return [("distance", "how far, such as 1480m")]
        case SwimTestKind.REPEATS:
            return [("set", "such as 10x100"), ("times", "one after the other; a column can be pasted")]
        case SwimTestKind.DISTANCES:
            hint = "m:ss, m:ss.t or seconds"
            return [(f"{distance} m", hint) for distance in test.distances.split()[:MOST_TIMES]]
        case other:
            assert_never(other)


def at_its_field(problem: Problem, values: Mapping[str, str]) -> Problem:
    """Return a problem of a time under the name of the field in which that time stands."""
    if problem.field not in {"time", "distance", "repeats"}:
        return problem
    times = [name for name in values if name.startswith("time")]
    held = [name for name in times if problem.value and problem.value in values[name].split()]
    empty = [name for name in times if not values[name]]
    return replace(problem, field=(held or empty or times)[0])
