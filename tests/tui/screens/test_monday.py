"""The Monday list: each line is dealt with by one key, and leaves when it is."""

from __future__ import annotations

from tests.tui.clubs import PARTS, a_club, an_app
from tests.tui.driving import drive, press, words
from tests.tui.screens.test_forms import fill
from tracker.app.leave import list_leaves
from tracker.tui.screens.swimmer import SwimmerScreen
from tracker.tui.widgets.long_list import LongList

NOTHING_SEEN = {name: PARTS[name] for name in ("Ada Fjord", "Bo Lind", "Cleo Marsh")}


def keys_of(app) -> list[str]:
    return [row.key for row in app.screen.query_one(LongList).rows]


def test_new_verdicts_and_what_is_due_most_pressing_first(tmp_path):
    app = an_app(a_club(tmp_path, NOTHING_SEEN), tmp_path)

    async def journey(pilot):
        await press(pilot, "M")
        keys = keys_of(app)
        assert keys[0] == "verdict Cleo Marsh"
        assert keys.index("verdict Cleo Marsh") < keys.index("verdict Ada Fjord")
        assert "new plateau, with a fault nobody is working on" in words(app)
        assert "newly slipping" in words(app)
        assert not [key for key in keys if key.startswith("verdict Bo Lind")]

    drive(app, journey)


def test_one_key_takes_a_verdict_as_seen_and_its_line_goes(tmp_path):
    app = an_app(a_club(tmp_path, NOTHING_SEEN), tmp_path)

    async def journey(pilot):
        await press(pilot, "M", "S")
        assert "verdict Cleo Marsh" not in keys_of(app)
        assert "Marked as seen: Cleo Marsh, slipping" in words(app)
        await press(pilot, "u")
        assert "verdict Cleo Marsh" in keys_of(app)

    drive(app, journey)


def test_what_is_due_is_put_off_and_comes_back_on_its_day(tmp_path):
    app = an_app(a_club(tmp_path, NOTHING_SEEN), tmp_path)

    async def journey(pilot):
        await press(pilot, "M")
        due = next(key for key in keys_of(app) if key.startswith(("test ", "look ")))
        what, _, name = due.partition(" ")
        app.screen.query_one(LongList).go_to(due)
        await press(pilot, "d")
        await fill(pilot, until="2026-03-01")
        await press(pilot, "ctrl+s")
        assert due not in keys_of(app)
        (left,) = list_leaves(app.session)
        assert (left.swimmer, left.what, left.until.isoformat()) == (name, what, "2026-03-01")

    drive(app, journey)


def test_who_is_left_alone_has_no_line(tmp_path):
    app = an_app(a_club(tmp_path, NOTHING_SEEN), tmp_path)

    async def journey(pilot):
        await press(pilot, "M", "A")
        await fill(pilot, until="2026-03-01", reason="exams")
        await press(pilot, "ctrl+s")
        assert not [key for key in keys_of(app) if key.endswith("Cleo Marsh")]
        assert "Cleo Marsh: left alone until 2026-03-01" in words(app)

    drive(app, journey)


def test_enter_opens_and_the_next_swimmer_is_the_lists(tmp_path):
    app = an_app(a_club(tmp_path, NOTHING_SEEN), tmp_path)

    async def journey(pilot):
        await press(pilot, "M")
        names = list(dict.fromkeys(key.partition(" ")[2] for key in keys_of(app)))
        await press(pilot, "enter", "J")
        assert isinstance(app.screen, SwimmerScreen)
        assert app.screen.swimmer() == names[1]

    drive(app, journey)
