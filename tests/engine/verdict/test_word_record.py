"""What each word is worth: the figures in the code are those of the study's table, and no others."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.technique.build import a_verdict
from tests.validation.table import read_table
from tracker.engine.verdict.verdict import Word
from tracker.engine.verdict.word_record import ENOUGH, RECORDS, record_of
from tracker.output.sentences.story import record_sentence

TABLE = Path(__file__).resolve().parents[3] / "reports" / "validation" / "word_record.csv"


def test_the_figures_are_those_of_the_study() -> None:
    """`python -m tests.validation --only word_record` writes the table."""
    counted = {(word, stated): (int(words), int(so)) for word, stated, words, so, _ in read_table(TABLE).rows}
    ours = {(str(r.word), "any" if r.any else f"{r.low:g}-{r.high:g}"): (r.words, r.so) for r in RECORDS}
    assert ours == counted


@pytest.mark.parametrize("word", [word for word in Word if word.tells])
def test_every_word_that_tells_has_a_record_at_every_probability(word: Word) -> None:
    for p in (0.5, 0.69, 0.7, 0.85, 0.93, 1.0):
        found = record_of(a_verdict(word, p_gaining=p, p_flat=p, p_slipping=p, p_slowed=p))
        assert found is not None
        assert found.word is word
        assert found.words >= ENOUGH
        assert found.low <= p <= found.high


def test_no_word_has_no_record() -> None:
    assert record_of(None) is None
    assert record_of(a_verdict(Word.UNDECIDED)) is None
    assert record_sentence(None) == ""


def test_the_record_is_said_with_its_count() -> None:
    """Of 402 plateaus held at .80 to .90, 342 were so."""
    said = record_sentence(record_of(a_verdict(Word.PLATEAU, p_flat=0.85)))
    assert said == (
        "Words like this (plateau, 80 to 90 % sure) held in 85 of 100: "
        "342 of 402 invented swimmers at random dates."
    )
    few = record_sentence(record_of(a_verdict(Word.SLIPPING, p_slipping=0.95)))
    assert few.startswith("Words like this (slipping, however sure) held in 89 of 100: 110 of 124")
