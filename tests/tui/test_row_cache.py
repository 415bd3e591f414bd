from __future__ import annotations

import stat

from tests.builders import a_swim
from tests.tui.clubs import AT, a_club, an_app
from tests.tui.driving import drive, press, settled, shown, words
from tracker.app import scan as scanning
from tracker.tui.screens.roster import RosterScreen


def test_the_next_start_has_the_verdicts_without_judging(tmp_path, monkeypatch):
    store = a_club(tmp_path)

    async def look(_pilot):
        assert "■ plateau" in shown(_pilot.app)

    drive(an_app(store, tmp_path, cache=tmp_path / "cache"), look)
    (file,) = (tmp_path / "cache").glob("*.db")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600

    def never(*_args, **_named):
        raise AssertionError("judged again")

    monkeypatch.setattr(scanning, "scan_in_parts", never)

    async def look_again(pilot):
        text = words(pilot.app)
        assert "■ plateau" in text
        assert "One new plateau" in text

    drive(an_app(store, tmp_path, cache=tmp_path / "cache"), look_again)


def test_only_whose_record_changed_are_judged_again(tmp_path, monkeypatch):
    store = a_club(tmp_path)
    judged = []
    real = scanning.scan_in_parts

    def noting(*args, names, **named):
        judged.append(set(names))
        return real(*args, names=names, **named)

    monkeypatch.setattr(scanning, "scan_in_parts", noting)

    async def journey(pilot):
        assert judged == [{"Ada Fjord", "Bo Lind", "Cleo Marsh", "Dan Holt"}]
        with store.write(who="other", what="log", at=AT) as writer:
            writer.add([a_swim(398, 404.0, swimmer="Dan Holt")])
        pilot.app.follow(certainly=True)
        await settled(pilot)
        assert judged[1:] == [{"Dan Holt"}]
        await press(pilot, "S")
        assert judged[2:] == [{"Ada Fjord"}]

    drive(an_app(store, tmp_path, cache=tmp_path / "cache"), journey)


def test_a_spoilt_file_is_no_file(tmp_path):
    store = a_club(tmp_path)

    async def look(pilot):
        assert isinstance(pilot.app.screen, RosterScreen)
        assert "■ plateau" in shown(pilot.app)

    drive(an_app(store, tmp_path, cache=tmp_path / "cache"), look)
    (file,) = (tmp_path / "cache").glob("*.db")
    for spoilt in (b"", b"[1]", b"x" * 5000, file.read_bytes()[:5000]):
        file.write_bytes(spoilt)
        drive(an_app(store, tmp_path, cache=tmp_path / "cache"), look)
