"""Tables keep to the terminal and are uncut elsewhere; what steers a terminal never gets out."""

from __future__ import annotations

import io
import json

import pytest

from tracker.cli.printing import Printer
from tracker.output.text import cells, fit

ROWS = [
    ("凌汐舟", "a note that is longer than any narrow terminal will take, and then some more of it"),
    ("Ana", "b"),
]


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("columns", [20, 40, 80, 200])
def test_a_table_keeps_to_the_columns_of_the_terminal(monkeypatch: pytest.MonkeyPatch, columns: int) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    out = Terminal()
    Printer(out=out, err=io.StringIO()).table(("name", "note"), ROWS)
    lines = out.getvalue().splitlines()
    assert len(lines) == 3
    assert all(cells(line) <= columns for line in lines)
    assert ("…" in lines[1]) is (columns < 90)
    assert [
        cells(line[: line.index(word)]) for line, word in zip(lines, ("note", "a note", "b"), strict=True)
    ] == [8] * 3


def test_elsewhere_a_row_is_a_line_and_nothing_is_cut(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "20")
    out = io.StringIO()
    Printer(out=out, err=io.StringIO()).table(("name", "note"), ROWS)
    assert out.getvalue() == "name\tnote\n" + "".join("\t".join(row) + "\n" for row in ROWS)


@pytest.mark.parametrize("text", ["\x1b]0;P\x07Ana", "\x9b2JAna", "a\rb", "a\nb", "\u202eAna", "\ud800Ana"])
def test_what_steers_a_terminal_is_replaced_or_escaped(text: str) -> None:
    out, err = io.StringIO(), io.StringIO()
    say = Printer(out=out, err=err)
    say.line(text)
    say.table(("name",), [(text,)])
    say.warned(text)
    say.failed(text)
    say.json({"name": text})
    printed = out.getvalue() + err.getvalue()
    assert not set("\x1b\x07\x9b\r\u202e\ud800") & set(printed)
    assert printed.count("\n") == 8
    assert json.loads(out.getvalue()[out.getvalue().index("{") :])["name"] == text


def test_json_keeps_letters_and_refuses_what_is_no_number() -> None:
    out = io.StringIO()
    Printer(out=out, err=io.StringIO()).json({"name": "Đặng Tâm Lăn 凌汐舟"})
    assert "Đặng Tâm Lăn 凌汐舟" in out.getvalue()
    with pytest.raises(ValueError, match="not JSON compliant"):
        Printer(out=out, err=io.StringIO()).json({"x": float("nan")})


def test_quiet_leaves_out_messages_but_no_warning() -> None:
    err = io.StringIO()
    say = Printer(quiet=True, out=io.StringIO(), err=err)
    say.said("message")
    say.warned("warning")
    assert err.getvalue() == "warning\n"


def test_cutting_keeps_what_belongs_together() -> None:
    assert fit("👨‍👩‍👧‍👦 family", 4) == "👨‍👩‍👧‍👦 …"
    assert fit("Zoe\u0308 B", 4) == "Zoe\u0308…"
    assert fit("ab", 4, pad=True) == "ab  "
    assert fit("abc", 0) == ""
