"""The roster's cells say no more than the tests do."""

from __future__ import annotations

from dataclasses import replace

from tests.builders import a_session
from tests.tui.clubs import TODAY, a_club
from tracker.app.scan import scan
from tracker.tui.drawing.roster_rows import roster_row


def test_from_one_test_there_is_no_rate(tmp_path) -> None:
    line = scan(a_session(a_club(tmp_path), today=TODAY))[0]
    assert line.verdict is not None
    told = f"{line.verdict.rate:+.2f}"
    row = roster_row(line, TODAY)
    assert told in row.narrow
    assert any(cell.startswith(told) for cell in row.wide)
    one = roster_row(replace(line, verdict=replace(line.verdict, tests=1)), TODAY)
    assert not any(cell.startswith(told) for cell in (*one.narrow, *one.wide))
