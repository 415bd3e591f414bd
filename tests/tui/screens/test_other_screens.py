"""Faults and work, month, import, history, settings, welcome."""

from __future__ import annotations

import threading

from tests.tui.clubs import AT, a_club, an_app
from tests.tui.driving import drive, press, settled, shown, words
from tracker.app import pages
from tracker.app.pages import make_pages
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.database import Store
from tracker.tui.screens.roster import RosterScreen
from tracker.tui.screens.settings import WelcomeScreen
from tracker.tui.screens.swimmer import SwimmerScreen
from tracker.tui.widgets.form_sheet import FormSheet
from tracker.tui.widgets.long_list import LongList


def test_the_board_says_what_is_open_and_for_how_long(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "w")
        text = words(app)
        assert "1 open, 1 corrected." in text
        assert "open breath-late Ada Fjord 2025-04-26 290" in text
        await press(pilot, "slash", *"kick", "enter")
        assert len(app.screen.query_one(LongList).rows) == 1
        await press(pilot, "escape", "enter")
        assert isinstance(app.screen, SwimmerScreen)

    drive(app, journey)


def test_a_step_from_the_board_is_about_the_fault_under_the_cursor(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "w", "f")
        values = app.screen.query_one(FormSheet).values
        assert (values["swimmer"], values["fault"]) == ("Ada Fjord", "breath-late")

    drive(app, journey)


def test_did_it_help_says_so_where_nothing_can_be_said(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "w", "b")
        assert "corrections" in words(app)

    drive(app, journey)


def test_pages_are_previewed_as_text_and_made(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path, pages=tmp_path / "pages")

    async def journey(pilot):
        await press(pilot, "m")
        assert "February 2026" in shown(app)
        await press(pilot, "comma")
        assert "January 2026" in shown(app)
        assert "4 of 4 get a page" in words(app)
        await press(pilot, "enter")
        assert "Ada Fjord" in words(app)
        assert "On a plateau" in words(app)
        await press(pilot, "escape", "m")
        assert "4 pages are in" in words(app)

    drive(app, journey)
    assert len(list((tmp_path / "pages" / "2026-01").glob("*.pdf"))) == 4


def test_quitting_while_pages_are_made_asks(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        app.busy = "pages are being made"
        await press(pilot, "ctrl+q")
        assert "quit all the same?" in words(app)
        await press(pilot, "ctrl+q")
        assert app.is_running

    drive(app, journey)


CSV = """date,swimmer,test,distance_m,time
2026-01-05,Ada Fjord,t400,400,6:50
2026-01-06,New Name,t400,400,1:50
2026-01-07,Ada Fjord,t400,400,6:75
"""


def test_an_import_is_looked_at_then_taken_and_undone_at_once(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)
    file = tmp_path / "swims.csv"
    file.write_text(CSV, encoding="utf-8")

    def names():
        with store.read() as reader:
            return reader.labels(), reader.count(Swim)

    async def journey(pilot):
        before = names()
        await press(pilot, "i")
        app.screen.query_one(FormSheet).fill({"path": str(file)})
        await press(pilot, "ctrl+s")
        text = words(app)
        assert "1 refused, 1 doubtful" in text
        assert "refused swims.csv:4 time:" in text
        await press(pilot, "j")
        assert "faster than anybody swims" in words(app)
        assert "swimmer New Name is made" in text
        assert names() == before
        await press(pilot, "ctrl+s")
        assert isinstance(app.screen, RosterScreen)
        assert names()[1] == before[1] + 2
        await press(pilot, "u")
        assert names() == before

    drive(app, journey)


def test_an_import_can_be_left(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)
    (tmp_path / "swims.csv").write_text(CSV, encoding="utf-8")

    async def journey(pilot):
        await press(pilot, "i")
        app.screen.query_one(FormSheet).fill({"path": str(tmp_path / "swims.csv")})
        await press(pilot, "ctrl+s", "escape", "escape")
        with store.read() as reader:
            assert "New Name" not in reader.labels()

    drive(app, journey)


def test_a_table_that_names_nobody_is_taken_as_of_whom_the_form_says(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)
    (tmp_path / "mine.csv").write_text("date,time\n2025-03-01,6:45\n", encoding="utf-8")

    async def journey(pilot):
        await press(pilot, "i")
        sheet = app.screen.query_one(FormSheet)
        sheet.fill({"path": str(tmp_path / "mine.csv")})
        await press(pilot, "ctrl+s")
        assert "names no distance and no test" in words(app)
        sheet.fill({"test": "t400"})
        await press(pilot, "ctrl+s")
        assert "4 swimmers are on record" in words(app)
        sheet.fill({"swimmer": "Bo Lind"})
        await press(pilot, "ctrl+s", "ctrl+s")
        assert isinstance(app.screen, RosterScreen)
        with store.read() as reader:
            (swim,) = [one.record for one in reader.all(Swim, swimmer="Bo Lind") if one.record.time_s == 405]
        assert (swim.distance_m, swim.test, swim.course) == (400, "t400", "SCM")

    drive(app, journey)


def test_a_table_of_which_nothing_is_read_is_not_taken(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)
    (tmp_path / "mine.csv").write_text("date,swimmer,test,time\n2025-03-01,Eva,t400,6:75\n", encoding="utf-8")

    async def journey(pilot):
        await press(pilot, "i")
        app.screen.query_one(FormSheet).fill({"path": str(tmp_path / "mine.csv")})
        await press(pilot, "ctrl+s", "ctrl+s")
        assert not isinstance(app.screen, RosterScreen)
        assert "not one swim was read" in words(app)
        with store.read() as reader:
            assert "Eva" not in reader.labels()
            assert reader.history()[-1].what == reader.history()[0].what == "a club"

    drive(app, journey)


def test_history_names_every_change_and_what_was_undone(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "S", "H")
        assert "mark plateau of Ada Fjord as seen" in words(app)
        await press(pilot, "u")
        assert "undone" in words(app)
        await press(pilot, "U")
        assert "Done again" in words(app)

    drive(app, journey)


def test_settings_are_shown_and_what_cannot_be_kept_is_said(tmp_path):
    app = an_app(a_club(tmp_path), tmp_path)

    async def journey(pilot):
        await press(pilot, "O")
        assert "band 0.25 default" in words(app)
        await press(pilot, "enter", "ctrl+s")
        assert "cannot be kept" in words(app)

    drive(app, journey)


def test_an_empty_database_greets_and_gives_way_to_the_first_swimmer(tmp_path):
    store = Store.open(tmp_path / "new.db")
    app = an_app(store, tmp_path)

    async def journey(pilot):
        assert isinstance(app.screen, WelcomeScreen)
        assert "invented club" in words(app)
        await press(pilot, "a", *"Eve", "ctrl+s")
        await settled(pilot)
        assert isinstance(app.screen, RosterScreen)
        assert "Eve" in words(app)

    drive(app, journey)


def test_the_invented_club_leaves_ones_own_data_alone(tmp_path):
    store = Store.open(tmp_path / "new.db")
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "k")
        assert len(app.screen.query_one(LongList).rows) == 24
        assert "invented club" in words(app)
        with store.read() as reader:
            assert reader.count(Swimmer) == 0

    drive(app, journey)


def test_changes_made_elsewhere_show_within_two_seconds(tmp_path):
    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    async def journey(pilot):
        app.follow()
        other = Store.open(tmp_path / "club.db")
        with other.write(who="other", what="add", at=AT) as writer:
            writer.add([Swimmer(swimmer="Zoe Elsewhere")])
        await pilot.pause(1.9)
        await settled(pilot)
        assert "Zoe Elsewhere" in shown(app)

    drive(app, journey)


def test_work_that_breaks_off_is_said_and_logged_and_the_screens_go_on(tmp_path, monkeypatch):
    from tracker.app import scan as fingerprints

    store = a_club(tmp_path)
    app = an_app(store, tmp_path)

    def broken(*_args, **_named):
        whom = "Ada Fjord, born 1980"
        raise KeyError(whom)

    monkeypatch.setattr(fingerprints, "roster_fingerprints", broken)

    async def journey(pilot):
        assert "could not be worked out (KeyError)" in words(app)
        assert "Ada Fjord" in words(app)
        await press(pilot, "w")
        assert "Faults and work" in words(app)

    drive(app, journey)
    log = (tmp_path / "state" / "screens.log").read_text(encoding="utf-8")
    assert "KeyError" in log
    assert "1980" not in log


def test_pages_are_made_to_the_end_where_the_month_is_left_meanwhile(tmp_path, monkeypatch):
    app = an_app(a_club(tmp_path), tmp_path, pages=tmp_path / "pages")
    left = threading.Event()

    def made_after_the_month_is_left(*given, **named):
        assert left.wait(60)
        return make_pages(*given, **named)

    monkeypatch.setattr(pages, "make_pages", made_after_the_month_is_left)

    async def journey(pilot):
        await press(pilot, "m")
        await pilot.press("m", "escape")
        assert isinstance(app.screen, RosterScreen)
        left.set()
        await settled(pilot)
        assert "4 pages are in" in words(app)
        await press(pilot, "m", "m")
        assert "4 pages are in" in words(app)

    drive(app, journey)
