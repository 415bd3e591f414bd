"""The samples in reports/: each page in each format, and all three say the same.

They are remade by ``python fixtures/make_samples.py``; their numbers may differ in the last digit between
machines, so they are not compared with a fresh run here.
"""

from __future__ import annotations

from html import unescape
from pathlib import Path

import pytest

from tests.output.pages.reading import reader, squeezed, text_of

REPORTS = Path(__file__).resolve().parents[3] / "reports"


@pytest.mark.parametrize("name", ["sample-swimmer", "sample-roster"])
def test_a_sample_says_the_same_in_every_format(name: str) -> None:
    text = (REPORTS / f"{name}.txt").read_text(encoding="utf-8")
    page = (REPORTS / f"{name}.html").read_text(encoding="utf-8")
    pdf = (REPORTS / f"{name}.pdf").read_bytes()
    headline = text.split("\n\n")[1]
    for found in (squeezed(unescape(page)), text_of(pdf)):
        assert squeezed(headline) in found
        assert squeezed(text.splitlines()[0]) in found
    assert "/StructTreeRoot" in reader(pdf).trailer["/Root"]


def test_the_swimmers_sample_is_two_sides_of_a_plateau_with_its_link() -> None:
    text = (REPORTS / "sample-swimmer.txt").read_text(encoding="utf-8")
    assert "On a plateau since about" in text
    assert "Left uncorrected when it began:" in text
    assert len(reader((REPORTS / "sample-swimmer.pdf").read_bytes()).pages) == 2
