"""Letters of any script in a name, a note and a fault's name: every page is made, in every format."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.cli.conftest import Cli, Ran
from tests.output.pages.reading import squeezed, text_of
from tests.plain_fonts import HAS_EXTRA, plain_install
from tracker.model.event import Event
from tracker.model.fault import FaultStep, OwnFault
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.output.glyphs import BOX
from tracker.store.database import Store

TEXTS = {
    "latin": "Łukasz Sørlie",
    "vietnamese": "Đặng Văn Lâm",
    "cyrillic": "Дарья Ким",
    "greek": "Ελένη Καρρά",
    "chinese": "凌汐舟",
    "japanese": "田中さくら",
    "thai": "สมชาย ใจดี",
    "arabic": "محمد علی",
    "hebrew": "שרה לוי",
    "devanagari": "अनन्या शर्मा",
    "emoji": "\N{SWIMMER}\u200d\N{FEMALE SIGN}\ufe0f Ana",
    "private": "\ue000\ue123",
}
NOWHERE = {"thai", "emoji", "private"}
OF_THE_EXTRA = {"chinese", "japanese"}
FORMATS = ("pdf", "txt", "html")
PLACES = ("name", *(pytest.param(place, marks=pytest.mark.thorough) for place in ("note", "fault")))
MONTH = ("page", "--all", "--month", "2026-06", "--out", "out")
ASKED = (*MONTH, "--format", ",".join(FORMATS), "--sheets", "1")


@pytest.fixture(params=["plain", "extra"])
def boxed(request: pytest.FixtureRequest) -> Iterator[set[str]]:
    """The scripts that are boxes on paper: with a plain install; with the extra, where it is there."""
    if request.param == "plain":
        with plain_install():
            yield NOWHERE | OF_THE_EXTRA
    elif HAS_EXTRA:
        yield NOWHERE
    else:
        pytest.skip("the fonts extra is not installed")


def club(folder: Path, place: str) -> dict[str, str]:
    """Write a swimmer for each script, who has it in one place; return the swimmers' names by script."""
    names = {script: text if place == "name" else f"Swimmer {script}" for script, text in TEXTS.items()}
    store = Store.open(folder / "club.db")
    with store.write(who="Maud", what="make", at=dt.datetime(2026, 6, 30, tzinfo=dt.UTC)) as writer:
        writer.add([Swimmer(swimmer=name) for name in names.values()])
        for script, name in names.items():
            fault = "catch-deep"
            if place == "fault":
                fault = f"own-{script}"
                writer.add([OwnFault(fault=fault, name=TEXTS[script], area="catch")])
            note = TEXTS[script] if place == "note" else "50 m"
            day = dt.date(2026, 5, 1)
            writer.add([Event(from_date=day, swimmer=name, kind="pool", note=note)])
            writer.add([FaultStep(date=day, swimmer=name, fault=fault, step="open", reviewer="Maud")])
            writer.add(
                [
                    Swim(
                        date=dt.date(2026, 6, 28) - dt.timedelta(weeks=week),
                        swimmer=name,
                        test="t400",
                        distance_m=400,
                        time_s=400 + week % 3,
                    )
                    for week in reversed(range(12))
                ]
            )
    store.close()
    return names


def shows(paper: bytes, text: str) -> bool:
    """Return whether the letters can be read back; right-to-left ones come in either order."""
    found, wanted = text_of(paper), squeezed(text)
    return wanted in found or all(word in found or word[::-1] in found for word in text.split())


def nothing_raw(ran: Ran) -> None:
    """What is said on the terminal is said by the program."""
    for raw in ("Glyph", "Warning", "UA-1", "findfont"):
        assert raw not in ran.err, ran.err


@pytest.mark.parametrize("place", PLACES)
def test_a_glyph_that_is_nowhere_costs_that_glyph(cli: Cli, home: Path, boxed: set[str], place: str) -> None:
    names = club(home, place)
    ran = cli("--db", "club.db", *ASKED)
    nothing_raw(ran)
    assert ran.code == 3
    assert f"are boxes on {len(boxed)} pages; every page is made" in ran.err
    files = [Path(line) for line in ran.out.splitlines()]
    assert len(files) == len(names) * len(FORMATS)
    said = {line.split(": ")[0]: line for line in ran.err.splitlines()}
    for script, name in names.items():
        text = TEXTS[script]
        txt = next(path for path in files if path.suffix == ".txt" and name in path.read_text("utf-8"))
        paper = txt.with_suffix(".pdf").read_bytes()
        assert text in txt.read_text("utf-8")
        assert text in txt.with_suffix(".html").read_text("utf-8")
        if script in boxed:
            assert BOX in text_of(paper)
            assert f"U+{ord(text[0]):04X}" in said[name]
            assert ("pip install '.[fonts]' brings it" in said[name]) == (script in OF_THE_EXTRA)
        else:
            assert BOX not in text_of(paper)
            assert name not in said
            assert script == "devanagari" or shows(paper, text), script


@pytest.mark.thorough
@pytest.mark.parametrize("place", PLACES)
def test_nor_does_it_cost_the_roster_page(cli: Cli, home: Path, boxed: set[str], place: str) -> None:
    names = club(home, place)
    ran = cli("--db", "club.db", *ASKED, "--roster")
    nothing_raw(ran)
    files = {path.suffix: path for path in map(Path, ran.out.splitlines())}
    assert sorted(files) == [".html", ".pdf", ".txt"]
    assert ran.code == (0 if place == "note" else 3)
    paper = files[".pdf"].read_bytes()
    assert (BOX in text_of(paper)) == (place != "note")
    if place == "note":
        return
    assert "are boxes on the roster page; every page is made" in ran.err
    assert "1 swimmer" not in ran.err
    said = {line.split(": ")[0] for line in ran.err.splitlines()}
    assert said - {"error"} == (
        {names[script] for script in boxed} if place == "name" else {"the roster page"}
    )
    for script, text in TEXTS.items():
        for twin in (".txt", ".html"):
            assert text[1:] in files[twin].read_text("utf-8")  # a fault's name begins with a capital
        assert script in boxed or script == "devanagari" or shows(paper, text[1:]), script
