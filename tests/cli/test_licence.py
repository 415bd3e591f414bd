"""The licence travels with the program: text in the package, printed on request, named in the metadata."""

from __future__ import annotations

import tomllib
from importlib.resources import files
from pathlib import Path

from fontTools.ttLib import TTFont

from tests.cli.conftest import Cli
from tracker.output.fonts import font_files

ROOT = Path(__file__).resolve().parents[2]
HOLDER = "the slackwater contributors"


def test_the_text_in_the_package_is_the_mit_licence_with_its_holder() -> None:
    """The wording is that of the SPDX list's entry MIT (checked from memory: its three paragraphs)."""
    text = " ".join(files("tracker").joinpath("LICENSE").read_text(encoding="utf-8").split())
    assert text.startswith("MIT License Copyright (c) 2026 ")
    assert HOLDER in text
    for part in (
        "Permission is hereby granted, free of charge, to any person obtaining a copy",
        "The above copyright notice and this permission notice shall be included in all copies",
        'THE SOFTWARE IS PROVIDED "AS IS", WITHOUT WARRANTY OF ANY KIND',
        "OUT OF OR IN CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE.",
    ):
        assert part in text


def test_manual_prints_it_whole_and_the_manual_page_says_how(cli: Cli) -> None:
    done = cli("manual", "--licence")
    assert (done.code, done.err) == (0, "")
    assert done.out == files("tracker").joinpath("LICENSE").read_text(encoding="utf-8")
    page = cli("manual").out
    assert "Permission is hereby granted" not in page
    assert ".SH LICENCE" in page
    assert "manual \\-\\-licence" in page


def test_the_metadata_of_a_wheel_name_the_licence_and_carry_its_text() -> None:
    """PEP 639: an SPDX expression and the files that hold the text, which lie in the package."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert project["license"] == "MIT"
    found = [path for pattern in project["license-files"] for path in ROOT.glob(pattern)]
    assert found == [ROOT / "tracker" / "LICENSE"]
    assert not any(word.startswith("License ::") for word in project["classifiers"])


def test_the_readme_says_which_licence_it_is_and_where_its_text_is() -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert "MIT licence" in text
    assert "slackwater manual --licence" in text


def fonts_text() -> str:
    return files("tracker").joinpath("output/fonts.txt").read_text(encoding="utf-8")


def test_every_font_at_hand_is_in_the_inventory_with_the_licence_that_its_file_names() -> None:
    """Entry 13 of a font's name table is its licence, entry 0 its copyright (OpenType)."""
    inventory = fonts_text()
    for file in font_files():
        with TTFont(str(file), lazy=True, fontNumber=0) as font:
            family, licence = font["name"].getBestFamilyName(), font["name"].getDebugName(13)
        lines = [line for line in inventory.splitlines() if line.startswith(f"{family}")]
        assert lines, family
        if family.startswith("Noto"):
            assert "SIL Open Font License, Version 1.1" in licence
            assert "SIL Open Font License 1.1" in lines[0]


def test_the_open_font_license_is_shipped_whole(cli: Cli) -> None:
    """Its title, its five conditions and its end (as Noto Sans Arabic brings it)."""
    text = fonts_text()
    for part in (
        "SIL OPEN FONT LICENSE Version 1.1 - 26 February 2007",
        *(f"\n{number}) " for number in range(1, 6)),
        "OTHER DEALINGS IN THE FONT SOFTWARE.",
    ):
        assert part in text
    assert "Copyright 2014, 2015 Adobe Systems Incorporated" in text
    assert cli("manual", "--fonts").out == text
    readme = " ".join((ROOT / "README.md").read_text(encoding="utf-8").split())
    assert "SIL Open Font License 1.1" in readme
