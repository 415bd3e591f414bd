from __future__ import annotations

import datetime as dt

from sqlalchemy import event

from tests.builders import START, a_session, a_swim
from tests.tui.clubs import AT, TODAY, a_club
from tracker.app import scan as scanning
from tracker.app.scan import roster_fingerprints, scan
from tracker.app.told import mark_all_seen
from tracker.output.as_json import line_json
from tracker.settings import DEFAULT


def test_parts_say_the_same_as_the_whole(tmp_path, monkeypatch):
    store = a_club(tmp_path)
    monkeypatch.setattr(scanning, "PART", 3)
    parts = list(scanning.scan_in_parts(a_session(store, today=TODAY)))
    assert [(part.done, part.of) for part in parts] == [(3, 4), (4, 4)]
    together = {line.swimmer: line_json(line, TODAY) for part in parts for line in part.lines}
    whole = scan(a_session(store, today=TODAY))
    assert together == {line.swimmer: line_json(line, TODAY) for line in whole}


def test_only_the_named_are_judged(tmp_path):
    store = a_club(tmp_path)
    (part,) = scanning.scan_in_parts(a_session(store, today=TODAY), names={"Bo Lind"})
    assert [line.swimmer for line in part.lines] == ["Bo Lind"]


def test_prints_change_for_those_whose_record_changed(tmp_path):
    store = a_club(tmp_path)
    before = roster_fingerprints(a_session(store, today=TODAY))
    with store.write(who="test", what="log", at=AT) as writer:
        (number,) = writer.add([a_swim(398, 404.0, swimmer="Dan Holt")])
    after = roster_fingerprints(a_session(store, today=TODAY))
    assert {name for name in before if before[name] != after[name]} == {"Dan Holt"}
    store.undo(at=AT)
    assert roster_fingerprints(a_session(store, today=TODAY)) == before
    assert number > 0


def test_a_test_of_today_is_the_last_one_and_one_of_tomorrow_is_not(tmp_path):
    store = a_club(tmp_path)
    today = (TODAY - START).days
    with store.write(who="test", what="log", at=AT) as writer:
        writer.add([a_swim(today, 404.0, swimmer="Dan Holt"), a_swim(today + 1, 404.0, swimmer="Bo Lind")])
    due = {line.swimmer: line.due.test for line in scan(a_session(store, today=TODAY))}
    week = dt.timedelta(days=DEFAULT.test_every_days)
    assert due["Dan Holt"] == TODAY + week
    assert due["Bo Lind"] <= TODAY + week - dt.timedelta(days=1)


def test_a_scan_reads_nothing_of_what_was_told(tmp_path):
    """Its speed must not depend on it."""
    store = a_club(tmp_path)
    session = a_session(store, today=TODAY)
    mark_all_seen(session)
    asked = []
    event.listen(store.engine, "before_cursor_execute", lambda *args: asked.append(args[2]))
    scan(session)
    roster_fingerprints(session)
    assert any("FROM swim" in one for one in asked)
    assert not any("told" in one for one in asked)
