"""The entry screens ask for what their records declare."""

from __future__ import annotations

import pytest

from tracker.model.about import corrigible
from tracker.model.swimmer import Swimmer
from tracker.tui.screens.add import AddFaultScreen, AddSwimmerScreen, AddTestScreen, EditSwimmerScreen
from tracker.tui.screens.events import ConsentScreen, LogEventScreen, LogLoadScreen
from tracker.tui.screens.fault_work import StartWorkScreen, StepFaultScreen
from tracker.tui.screens.form import RecordForm
from tracker.tui.screens.log_test import LogTestScreen
from tracker.tui.screens.next_step import ChooseScreen

ADA = "Ada Fjord"


@pytest.mark.parametrize(
    ("form", "typed", "left_out"),
    [
        (AddSwimmerScreen(), {}, set()),
        (EditSwimmerScreen(Swimmer(swimmer=ADA)), {}, set()),
        (AddTestScreen(), {}, {"duration_s"}),
        (AddTestScreen(), {"kind": "Duration"}, {"distances"}),
        (AddFaultScreen(), {}, set()),
        (LogEventScreen(ADA), {}, set()),
        (LogLoadScreen(ADA), {}, set()),
        (ConsentScreen(ADA), {}, set()),
        (ConsentScreen(ADA), {"act": "Withdraw"}, {"ground", "given_by", "how", "text_version", "until"}),
        (StepFaultScreen(ADA), {}, set()),
        (StartWorkScreen(ADA), {}, {"to_date"}),
        (StartWorkScreen(ADA), {"act": "stop"}, {"from_date", "fault", "per_week"}),
        (LogTestScreen(ADA), {}, {"test", "distance_m", "time_s"}),
        (ChooseScreen(ADA), {}, set()),
    ],
    ids=lambda value: type(value).__name__ if isinstance(value, RecordForm) else None,
)
def test_a_form_asks_for_all_that_can_be_corrected(
    form: RecordForm, typed: dict[str, str], left_out: set[str]
) -> None:
    asked = {field.own for field in form.asked(typed)}
    assert asked - {"swimmer"} == {field.own for field in corrigible(form.KIND)} - left_out


def test_several_texts_in_one_line_are_parted_by_a_semicolon() -> None:
    typed = {"cues": "flat hand; push the wall", "caution": "slowly; at first"}
    assert AddFaultScreen().form(typed) == {**typed, "cues": "flat hand\npush the wall"}


def test_drafts_of_different_things_do_not_meet() -> None:
    names = {
        AddTestScreen().draft,
        LogEventScreen(ADA).draft,
        LogEventScreen("Bo").draft,
        LogLoadScreen(ADA).draft,
    }
    assert len(names) == 4
    assert ADA not in "".join(names)
