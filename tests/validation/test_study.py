"""The study runs, and its tables come back as they were written."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.validation import against_others
from tests.validation.__main__ import HERE, ORDER, main
from tests.validation.other_ways import WAYS
from tests.validation.part import Scale
from tests.validation.table import Table, read_table


@pytest.mark.slow
def test_a_quick_look_writes_every_table(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--quick", "--out", str(tmp_path)]) == 0
    assert {path.stem for path in tmp_path.glob("*.csv")} == {*ORDER, "runs"}
    for name in ORDER:
        table = read_table(tmp_path / f"{name}.csv")
        assert table.rows
        assert all(len(row) == len(table.columns) for row in table.rows)
        assert table.title in (tmp_path / "results.md").read_text(encoding="utf-8")
    assert {path.name for path in tmp_path.glob("*.svg")} == {
        "reliability.svg", "false_plateaus.svg", "detection.svg",
    }  # fmt: skip
    assert "against_others" in capsys.readouterr().err


def test_a_quick_look_never_replaces_the_study() -> None:
    with pytest.raises(SystemExit):
        main(["--quick"])


def test_a_table_comes_back_as_written(tmp_path: Path) -> None:
    table = Table("t", "A title", "with, commas", ("a", "b"), (("1, 2", 'say "x"'), ("–", "0.1 ± 0.2")))
    table.write(tmp_path)
    assert read_table(tmp_path / "t.csv") == table


def test_the_committed_study_is_whole() -> None:
    folder = HERE / "reports" / "validation"
    assert {path.stem for path in folder.glob("*.csv")} == {*ORDER, "runs"}
    assert "results.md" in (folder / "README.md").read_text(encoding="utf-8")


def test_a_way_that_is_not_installed_is_left_out_and_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        against_others, "find_spec", lambda package: None if package == "ruptures" else package
    )
    monkeypatch.setattr(against_others, "WAYS", dict(list(WAYS.items())[:2]))
    rows = against_others.run(Scale(quick=True)).tables[0].rows
    left_out = [row for row in rows if "PELT" in row[1]]
    assert len(left_out) == len(against_others.POPULATIONS)
    assert all("ruptures is not installed" in row[2] and set(row[3:]) == {"–"} for row in left_out)
    assert all("not installed" not in row[2] for row in rows if "PELT" not in row[1])
