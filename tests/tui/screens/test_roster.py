from __future__ import annotations

import sqlite3
from contextlib import closing

import pytest

from tests.tui.clubs import a_club, an_app
from tests.tui.driving import drive, press, settled, shown, words
from tracker.model.swimmer import Choice
from tracker.tui.drawing.roster_rows import WIDE, columns
from tracker.tui.messages import StoreChecked
from tracker.tui.screens.roster import RosterScreen
from tracker.tui.screens.swimmer import SwimmerScreen
from tracker.tui.widgets.long_list import LongList


def test_most_in_need_first_with_verdict_as_word_and_mark(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(_pilot):
        text = shown(app)
        assert text.index("Ada Fjord") < text.index("Cleo Marsh") < text.index("Bo Lind")
        assert "■ plateau" in text
        assert "▲ gaining" in text
        assert "▼ slipping" in text
        assert "○ too early" in text
        assert "breath-late open" in text
        assert "One new plateau, with a fault nobody is working on" in text

    drive(app, journey)


def test_names_stand_there_before_the_verdicts(tmp_path, monkeypatch):
    app = an_app(a_club(tmp_path), tmp_path)
    monkeypatch.setattr(RosterScreen, "_judge", lambda _self: None)

    async def journey(_pilot):
        text = shown(app)
        assert "Ada Fjord" in text
        assert "Working out 4 of 4 verdicts" in text

    drive(app, journey)


def test_a_name_keeps_sixteen_cells_at_eighty_columns(tmp_path):
    name = "Aleksandra-Maximiliana"
    app = an_app(a_club(tmp_path, {name: [(13.0, 0.5)], "Ada Fjord": [(13.0, 0.0)]}), tmp_path)

    async def journey(_pilot):
        assert name[:16] in shown(app)

    drive(app, journey)


def test_filter_as_you_type_and_escape_clears_it(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "slash", "s", "l", "i", "p")
        rows = [row.key for row in app.screen.query_one(LongList).rows]
        assert rows == ["Cleo Marsh"]
        await press(pilot, "escape")
        assert len(app.screen.query_one(LongList).rows) == 4
        await press(pilot, "slash", *"TRI")
        assert [row.key for row in app.screen.query_one(LongList).rows] == ["Ada Fjord", "Cleo Marsh"]

    drive(app, journey)


def test_filter_takes_wildcards_literally(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "slash", "percent_sign")
        assert not app.screen.query_one(LongList).rows
        assert "nobody fits the filter" in shown(app)

    drive(app, journey)


def test_groups_one_after_the_other(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "p")
        assert [row.key for row in app.screen.query_one(LongList).rows] == ["Dan Holt", "Bo Lind"]
        assert "Masters, 2" in shown(app)
        await press(pilot, "p", "p")
        assert len(app.screen.query_one(LongList).rows) == 4

    drive(app, journey)


def test_mark_seen_is_stored_and_can_be_undone(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "space")
        assert "Marked as seen: Ada Fjord" in shown(app)
        with store.read() as reader:
            (choice,) = reader.all(Choice, swimmer="Ada Fjord")
        assert (choice.record.kind, choice.record.value) == ("seen", "plateau")
        assert "No new plateaus" in shown(app)
        await press(pilot, "u")
        with store.read() as reader:
            assert not reader.all(Choice, swimmer="Ada Fjord")
        assert "One new plateau" in shown(app)

    drive(app, journey)


def test_enter_opens_the_swimmer_and_escape_goes_back(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "j", "k", "enter")
        assert isinstance(app.screen, SwimmerScreen)
        assert "Ada Fjord" in shown(app)
        await press(pilot, "escape")
        assert isinstance(app.screen, RosterScreen)
        await press(pilot, "escape")
        assert "ctrl+q quits" in shown(app)

    drive(app, journey)


def test_wide_window_shows_interval_group_and_last_test(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(_pilot):
        text = shown(app)
        assert "Tri squad" in text
        assert "% a month (90 %)" in text
        assert "last test" in text

    drive(app, journey, size=(120, 40))


@pytest.mark.parametrize("width", [80, 110, WIDE - 1, WIDE, 129, 250])
def test_every_column_has_its_cells_at_any_width(width):
    """Cells and the blanks between them, and the mark of the cursor's line, as the list draws them."""
    shown_columns = columns(width)
    assert sum(column.width + 1 for column in shown_columns) < width
    assert shown_columns[-1].width >= len("test, review" if width >= WIDE else "review")
    assert WIDE <= 120


@pytest.mark.parametrize("width", [110, 119, 120, 125])
def test_what_is_due_is_never_cut(tmp_path, width):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(_pilot):
        header = next(line for line in shown(app).splitlines() if "left uncorrected" in line)
        row = next(line for line in shown(app).splitlines() if "Ada Fjord" in line)
        assert header[header.index("due") :].rstrip() == "due"
        assert "…" not in row[header.index("due") :]

    drive(app, journey, size=(width, 30))


def test_what_is_wrong_with_the_database_is_said_at_the_start_and_the_roster_still_shows(tmp_path):
    store = a_club(tmp_path)
    with closing(sqlite3.connect(tmp_path / "club.db")) as raw:
        raw.execute("CREATE TABLE extra (x)")
        raw.commit()
    (tmp_path / "club.db").chmod(0o644)
    app = an_app(store, tmp_path, check="slackwater check --db club.db")

    async def journey(pilot):
        said = words(app)
        assert "others can read it and its tables are not as slackwater made them" in said
        assert "Leave (ctrl+q) and type: slackwater check --db club.db" in said
        assert "■ plateau" in said
        app.show_invented_club()
        await settled(pilot)
        assert "Something is wrong" not in shown(app)
        assert app.context.check == f"slackwater check --db {app.session.store.address}"
        app.screen.post_message(StoreChecked(store.address, "Something is wrong with the one before."))
        await settled(pilot)
        assert "Something is wrong" not in shown(app)

    drive(app, journey)


def test_a_sound_database_takes_no_line_of_the_roster(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(_pilot):
        assert "Something is wrong" not in shown(app)
        assert not app.screen.query_one("#trouble").display

    drive(app, journey)
