"""What names a person goes from the user's folders; what names somebody else stays."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tracker.app.leftover_files import Trace, find_traces, remove_traces
from tracker.errors import SlackwaterError
from tracker.store.persons import Person

ANA = Person("Ana", 1, "u", ("Ana", "Aña"))
OTHERS = ("Ana Lee", "Anabel")


def kept(folder: Path, name: str, text: str) -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def test_a_longer_name_of_somebody_else_is_no_trace(tmp_path: Path) -> None:
    kept(tmp_path, "a.json", '{"name": "Ana Lee"}')
    kept(tmp_path, "b.json", '{"name": "Anabel"}')
    theirs = kept(tmp_path, "c.json", '{"name": "ana"}')
    former = kept(tmp_path, "d.json", '{"name": "A\\u00f1a"}')
    broken = kept(tmp_path, "e.json", "{Ana \\u")
    traces = find_traces([tmp_path], ANA, OTHERS)
    assert [trace.path for trace in traces] == [theirs, former, broken]


def test_a_name_is_found_however_json_writes_it(tmp_path: Path) -> None:
    odd = Person('Zoë "Q" \\ 𝒜', 1, "u", ('Zoë "Q" \\ 𝒜',))
    whole = kept(tmp_path, "a.json", json.dumps({"name": odd.labels[0]}))
    lines = kept(tmp_path, "b.jsonl", "1\n" + json.dumps([odd.labels[0]]) + "\n[]\n")
    letters = kept(tmp_path, "c.txt", json.dumps([odd.labels[0]], ensure_ascii=False) + "\n")
    kept(tmp_path, "d.json", json.dumps({"name": 'Zoë "Q" \\ B'}))
    assert [trace.path for trace in find_traces([tmp_path], odd, OTHERS)] == [whole, lines, letters]


def test_a_log_loses_only_the_lines_that_name_them(tmp_path: Path) -> None:
    log = kept(tmp_path, "screens.log", "before\nAna\nAna Lee\n")
    traces = find_traces([tmp_path], ANA, OTHERS)
    assert traces == [Trace(log, lines_only=True)]
    remove_traces(traces, ANA, OTHERS)
    assert log.read_text(encoding="utf-8") == "before\nAna Lee\n"
    assert log.stat().st_mode & 0o777 == 0o600
    assert list(tmp_path.iterdir()) == [log]


def test_a_link_is_not_followed_and_a_missing_folder_is_empty(tmp_path: Path) -> None:
    outside = tmp_path / "outside"
    outside.mkdir()
    target = kept(outside, "mine.txt", "Ana")
    folder = tmp_path / "state"
    folder.mkdir()
    (folder / "link.txt").symlink_to(target)
    traces = find_traces([folder, tmp_path / "nowhere"], ANA, OTHERS)
    assert traces == []
    assert target.exists()


def test_a_file_that_stays_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "a.json"
    folder.mkdir()
    with pytest.raises(SlackwaterError, match=r"remove it yourself"):
        remove_traces([Trace(folder, lines_only=False)], ANA, OTHERS)
