"""A whole squad after one test: a row a swimmer, the times beside each name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from tracker.entry.swim_form import TypedTest
from tracker.errors import DecisionNeededError, EntryError, Problem, SlackwaterError
from tracker.model.about import fields_of
from tracker.model.practices import Caution
from tracker.model.swim import Swim
from tracker.output.sentences.data import course_note, courses_words
from tracker.output.sentences.numbers import count
from tracker.remedies import Mend
from tracker.tui.remedies import failure_words
from tracker.tui.screens.form import FormScreen
from tracker.tui.widgets.form_sheet import FormField


class SquadScreen(FormScreen):
    """One test, one date, many swimmers; a row without times is left out.

    A column pasted into a swimmer's row fills the rows below it too.
    """

    NAME = "Squad"
    DRAFT = "squad"
    LABEL_CELLS = 25
    _logged: Sequence[tuple[str, Sequence[Caution]]] = ()
    FIELDS = (
        FormField("test", "test", "css t200 t400 t1000 t1500 t30 reps or an own one", "css"),
        FormField("date", "date", fields_of(Swim)["date"].first_hint),
        FormField("course", "course", "empty is the usual pool of each"),
        FormField("group", "group", "empty is everybody"),
    )
    _people: Sequence[tuple[str, str]] = ()

    def fields(self, values: Mapping[str, str]) -> Sequence[FormField]:
        """Return what is the same for all, then a row for each swimmer of the group."""
        from tracker.app.swimmers import list_swimmers

        if not self._people:
            self._people = [(who.swimmer, who.group) for who in list_swimmers(self.session)]
        group = values.get("group", "").casefold()
        return (
            *super().fields(values),
            *(
                FormField(f"swimmer {name}", name, its_group)
                for name, its_group in self._people
                if not group or group == its_group.casefold()
            ),
        )

    def problems(self, values: Mapping[str, str]) -> tuple[tuple[Problem, ...], str]:
        """Weigh every row that has times, and say what is doubtful about it, as for one swimmer."""
        from tracker.app.log_swims import preview_test
        from tracker.output.sentences.doubts import remark_words

        found: list[Problem] = []
        said: list[str] = []
        filled = 0
        for name, typed in self._rows(values):
            filled += 1
            try:
                logged = preview_test(self.session, typed)
            except EntryError as error:
                found += [_in_row(problem, name, values) for problem in error.problems]
            except SlackwaterError as error:
                found.append(Problem(f"swimmer {name}", "", failure_words(error)))
            else:
                said += [f"{name}, {remark_words(doubt)}." for doubt in logged.remarks]
        filled_words = f"Times for {filled} of {count(len(values) - len(self.FIELDS), 'swimmer')}."
        return tuple(found), " ".join([filled_words, *said])

    def submit(self, values: Mapping[str, str]) -> str:
        """Log all rows in one transaction; one undo takes all of them back."""
        from tracker.app.best_times import news_of_times
        from tracker.app.log_swims import SquadDoubtsError, SquadProblemsError, log_squad
        from tracker.output.sentences.best_times import best_yet_words
        from tracker.output.sentences.doubts import doubt_sentence, doubt_word

        rows = [typed for _, typed in self._rows(values, accept=self.accepted)]
        if not rows:
            raise EntryError((Problem("times", "", "no swimmer has times"),))
        try:
            logged = log_squad(self.session, rows)
        except SquadProblemsError as error:
            raise EntryError(tuple(_in_row(p, name, values) for name, p in error.by_swimmer)) from error
        except SquadDoubtsError as error:
            said = "; ".join(f"{name}: {doubt_sentence(doubt)}" for name, doubt in error.by_swimmer)
            word = doubt_word(doubt for _, doubt in error.by_swimmer)
            raise DecisionNeededError(f"{word.capitalize()}: {said}", Mend.ACCEPT) from error
        self._logged = [(one.swimmer.swimmer, one.care) for one in logged]
        courses = courses_words(one.swims[0].course for one in logged)
        noted = ((one.swimmer.swimmer, course_note(one.unnamed)) for one in logged)
        notes = "".join(f" {name}: {note}." for name, note in noted if note)
        best = best_yet_words((one.swimmer.swimmer, news_of_times(self.session, one)) for one in logged)
        return f"Logged {values['test']} for {count(len(logged), 'swimmer')}, {courses}.{best}{notes}"

    def said_of_care(self, values: Mapping[str, str]) -> Sequence[str]:
        """Return, once it is saved, the cautions of all rows, each once with whom it concerns."""
        from tracker.output.cautions import cautions_of_many

        return cautions_of_many(self._logged) if self._logged else super().said_of_care(values)

    def take_column(self, name: str, lines: Sequence[str]) -> None:
        """Put a pasted column into this row and those below."""
        rows = [field for field in self.sheet.values if field.startswith("swimmer ")]
        if name not in rows:
            super().take_column(name, lines)
            return
        below = rows[rows.index(name) :]
        self.sheet.fill(dict(zip(below, lines, strict=False)))
        spare = len(lines) - len(below)
        self.announce(
            f"{count(min(len(lines), len(below)), 'row was', 'rows were')} filled."
            + (f" {count(spare, 'value is', 'values are')} left." if spare > 0 else "")
        )

    def _rows(self, values: Mapping[str, str], *, accept: bool = False) -> list[tuple[str, TypedTest]]:
        form = {"date": values.get("date", ""), "course": values.get("course", "")}
        rows = [(name[8:], text) for name, text in values.items() if name.startswith("swimmer ") and text]
        test = values.get("test", "")
        return [
            (name, TypedTest(name, test, tuple(text.split()), form, accept, can_ask=True))
            for name, text in rows
        ]


def _in_row(problem: Problem, name: str, values: Mapping[str, str]) -> Problem:
    shared = problem.field in {"test", "date", "course"} and values.get(problem.field)
    return replace(problem, field=problem.field if shared else f"swimmer {name}")
