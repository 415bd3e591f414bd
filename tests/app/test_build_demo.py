"""The demo's club: built from the packaged files, in a folder of its own, whole."""

from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path

import pytest

from tracker.app.demo import LAST_DAY, build_demo, club_files
from tracker.errors import UsageError
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.settings import DEFAULT


def rows(name: str) -> list[dict[str, str]]:
    with (club_files() / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_the_club_is_built_whole_in_a_new_folder(tmp_path: Path) -> None:
    demo = build_demo(tmp_path / "new" / "demo", settings=DEFAULT)
    with demo.store.read() as reader:
        assert len(reader.labels()) == 24
        assert len(reader.all(Swim)) == len(rows("swims"))
        assert len(reader.all(ReviewItem)) == len(rows("reviews"))
        assert max(kept.record.date for kept in reader.all(Swim)) == LAST_DAY == demo.last_day
    demo.store.close()
    assert demo.database == tmp_path / "new" / "demo" / "club.db"
    assert demo.last_day.strftime("%Y-%m") == demo.month


def test_nothing_in_the_club_is_dated_later() -> None:
    dates = [row["date"] for name in ("swims", "reviews", "faults", "consents") for row in rows(name)]
    dates += [row[column] for name in ("work", "events") for row in rows(name) for column in ("from", "to")]
    assert max(dt.date.fromisoformat(date) for date in dates if date) <= LAST_DAY


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(UsageError, match="not empty"):
        build_demo(tmp_path, settings=DEFAULT)
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]
    with pytest.raises(UsageError, match="is a file"):
        build_demo(tmp_path / "mine.txt", settings=DEFAULT)


def test_without_a_folder_a_fresh_one_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    demo = build_demo(settings=DEFAULT)
    demo.store.close()
    assert demo.folder.parent == tmp_path
