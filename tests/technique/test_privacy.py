"""What of an illness or injury may be shown, where, by the setting."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from tracker.model.event import Event
from tracker.model.event_kinds import HEALTH_KINDS, EventKind
from tracker.settings import DEFAULT, Settings
from tracker.technique.privacy import ShownEvent, in_copies, in_evidence, on_record, shown_label

OFF, ON = DEFAULT, replace(DEFAULT, health=True)
DAY = dt.date(2026, 6, 1)
OTHERS = sorted(set(EventKind) - HEALTH_KINDS)


def _event(kind: str, note: str = "canary") -> Event:
    return Event(from_date=DAY, to_date=DAY, swimmer="Ana", kind=kind, note=note)


def _said(event: ShownEvent | None) -> tuple[str, str, bool] | None:
    if event is None:
        return None
    assert (event.from_date, event.to_date, event.swimmer) == (DAY, DAY, "Ana")
    return event.kind, event.note, event.is_break


@pytest.mark.parametrize("kind", sorted(HEALTH_KINDS))
def test_an_illness_or_injury_is_shown_only_as_the_setting_allows(kind: str) -> None:
    event = _event(kind)
    hidden = ("other", "a break", True)
    assert _said(on_record(event, OFF)) == hidden
    assert _said(on_record(event, ON)) == (kind, "canary", False)
    assert in_evidence([event], OFF) == []
    assert [_said(one) for one in in_evidence([event], ON)] == [(kind, "", False)]
    assert in_copies(event, OFF) is None
    assert _said(in_copies(event, ON)) == hidden


@pytest.mark.parametrize("settings", [OFF, ON])
@pytest.mark.parametrize("kind", OTHERS)
def test_any_other_event_is_shown_as_it_is(kind: str, settings: Settings) -> None:
    for note in ("canary", "a break"):
        event = _event(kind, note)
        shown = [on_record(event, settings), *in_evidence([event], settings), in_copies(event, settings)]
        assert [_said(one) for one in shown] == [(kind, note, False)] * 3


def test_the_history_names_no_illness_or_injury_while_health_is_off() -> None:
    for kind in HEALTH_KINDS:
        assert shown_label(f"log {kind} for Ana", OFF) == "log a break for Ana"
        assert shown_label(f"log {kind} for Ana", ON) == f"log {kind} for Ana"
    assert shown_label("log layoff for Ana", OFF) == "log layoff for Ana"
