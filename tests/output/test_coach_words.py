"""The coach's version: the headline's values in numbers, each once, nothing contradicting."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from tests.output.cases import AS_OF, verdict_like
from tests.output.lines import line_of
from tracker.engine.series.left_out import LeftOut
from tracker.engine.verdict.to_come import PaceForecast
from tracker.engine.verdict.verdict import FewTests
from tracker.output.sentences.numbers import sure
from tracker.output.sentences.people import classes, figures, not_counted
from tracker.output.sentences.verdict import headline, to_come
from tracker.output.why_text import why_sections


def test_it_holds_method_n_and_interval() -> None:
    said = figures(verdict_like())
    text = " ".join(said)
    for part in (
        "54 test days from 2 May 2025 to 28 June 2026",
        "on the scale of 400 m SCM",
        "1:41.4 min:s per 100 m",
        "0.02 % a month faster (0.11 slower to 0.14 faster)",
        "0.2 % a year",
        "hold 90 %",
        "inside it with 93 %",
        "scatters by 1.1 %",
    ):
        assert part in text, part
    assert len(set(said)) == len(said)


def test_the_certainty_is_the_headlines() -> None:
    verdict = verdict_like()
    assert f"{sure(verdict.p_flat)} sure" in headline(verdict)
    assert f"inside it with {sure(verdict.p_flat)}" in classes(verdict)


def test_what_the_classes_say_is_not_said_twice() -> None:
    assert not any("the word takes" in line for line in figures(verdict_like()))
    early = verdict_like(verdict="too early", reasons=(FewTests(3, 8),))
    assert "3 tests on record; a verdict needs 8." in figures(early)


def test_one_test_says_nothing_of_a_rate_or_a_scatter() -> None:
    """Both would be what is usual in the roster, not this swimmer; page and `why` hold them back."""
    reasons = (FewTests(1, 8),)
    ahead = (PaceForecast(dt.date(2026, 7, 30), 101.2, 98.9, 103.6),)
    one = verdict_like(verdict="too early", tests=1, reasons=reasons, forecast=ahead, flat_stretches=())
    two = replace(one, tests=2)
    for held, verdict in ((True, one), (False, two)):
        page = " ".join([*figures(verdict), *to_come(verdict)])
        why = " ".join(
            said
            for _, lines in why_sections(line_of(verdict, None), (), (), (), names={}, as_of=AS_OF)
            for said in lines
        )
        for part in ("% a month faster", "scatters by"):
            assert (part not in page) is held, part
            assert (part not in why) is held, part
        assert ("above the margin" not in page) is held
        assert ("is expected at" not in page) is held


def test_what_does_not_count_is_listed_with_its_reason() -> None:
    left = (LeftOut("Ines Aalto", AS_OF, "with kit"), LeftOut("Ines Aalto", AS_OF, "with kit"))
    assert not_counted(replace(line_of(), left_out=left)) == [
        "The test of 3 November 2025 is set aside; check the typing: 9 typical errors from the line.",
        "2 swims left out: with kit.",
    ]
