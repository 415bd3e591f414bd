"""The dates ahead on a screen; a swimmer about whom two reviewers disagree."""

from __future__ import annotations

import datetime as dt

from tests.builders import START, a_step
from tests.tui.clubs import AT, TODAY, a_club, an_app
from tests.tui.driving import drive, press, settled, shown, words
from tracker.model.event import Event
from tracker.model.swimmer import Consent
from tracker.tui.screens.calendar import CalendarScreen
from tracker.tui.screens.roster import RosterScreen
from tracker.tui.screens.swimmer import SwimmerScreen


def test_one_key_from_the_roster_shows_the_dates_and_enter_opens_the_swimmer(tmp_path):
    store = a_club(tmp_path)
    race = TODAY + dt.timedelta(days=40)
    with store.write(who="Maud", what="races", at=AT) as writer:
        writer.add([Event(from_date=race, swimmer="Bo Lind", kind="race", note="lake")])
        writer.add([Consent(date=START, swimmer="Cleo Marsh", purpose="pages", withdrawn=TODAY)])
    app = an_app(store, tmp_path)

    async def journey(pilot):
        assert isinstance(app.screen, RosterScreen)
        await press(pilot, "A")
        assert isinstance(app.screen, CalendarScreen)
        text = shown(app)
        assert "1 swimmer is left out for want of a consent." in words(app)
        assert "Cleo Marsh" not in text
        row = next(line for line in text.splitlines() if race.isoformat() in line)
        assert "race" in row
        assert "Bo Lind" in row
        assert "lake" not in text
        assert "test" in text
        assert "every 7 days" in text
        assert "every 56 days at the latest; the usual gap is longer." in words(app)
        await press(pilot, "G", "enter")
        assert isinstance(app.screen, SwimmerScreen)
        assert app.screen.swimmer() == "Bo Lind"

    drive(app, journey)


def test_the_dates_follow_what_is_logged(tmp_path):
    store = a_club(tmp_path, {"Ada Fjord": [(7.0, 1.2)]})
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "A")
        before = shown(app)
        with store.write(who="Maud", what="camp", at=AT) as writer:
            until = TODAY + dt.timedelta(days=30)
            writer.add([Event(from_date=TODAY, to_date=until, swimmer="Ada Fjord", kind="camp")])
        app.follow(certainly=True)
        await settled(pilot)
        assert shown(app) != before
        assert "after the camp that ends on" in shown(app)

    drive(app, journey, size=(120, 40))


def test_the_swimmers_screen_says_who_disagrees(tmp_path):
    store = a_club(tmp_path)
    with store.write(who="Maud", what="looks", at=AT) as writer:
        writer.add([a_step(390, "corrected", swimmer="Ada Fjord", reviewer="Mika")])
        writer.add([a_step(390, "seen", swimmer="Ada Fjord", reviewer="Bo Lind")])
    app = an_app(store, tmp_path)

    async def journey(pilot):
        await press(pilot, "enter")
        said = "Mika saw it corrected, Bo Lind still saw it. It counts as uncorrected"
        assert said in words(app)

    drive(app, journey, size=(120, 40))
