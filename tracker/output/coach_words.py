"""The verdict for the coach: the same values as the headline, with method, n and intervals."""

from __future__ import annotations

from dataclasses import replace

from tracker.faults.roster_line import RosterLine
from tracker.output.numbers import number, sure, threshold
from tracker.output.reason_words import grounds, left_out_lines, rate_and_noise, sentence, set_aside_line
from tracker.output.wording import data_line, has_rate, pace_line
from tracker.verdict.verdict import Reason, Verdict


def figures(verdict: Verdict, cut: float, born: int | None = None) -> list[str]:
    """Return what the verdict rests on, each once; nothing of a rate that the tests do not carry.

    Parameters
    ----------
    cut
        Probability from which a verdict is spoken.
    """
    said_already = [reason for reason in verdict.reasons if reason.code == "p_class"]
    others = replace(verdict, reasons=tuple(r for r in verdict.reasons if r not in said_already))
    lines = [
        data_line(verdict, verdict.as_of),
        pace_line(verdict),
        *rate_and_noise(verdict),
        *([classes(verdict, cut)] if has_rate(verdict) else []),
        *grounds(others, born),
    ]
    if verdict.tests_to_tell is not None:
        lines.append(sentence(Reason("tests_to_tell", {"tests": verdict.tests_to_tell})))
    return list(dict.fromkeys(lines))


def classes(verdict: Verdict, cut: float) -> str:
    """Return how likely each answer is."""
    above, inside, below, slowed = (
        sure(p, cut) for p in (verdict.p_gaining, verdict.p_flat, verdict.p_slipping, verdict.p_slowed)
    )
    return (
        f"The present rate is above the margin of {number(verdict.band)} % a month with {above}, "
        f"inside it with {inside}, below it with {below}; lower than before with {slowed}. "
        f"A word is spoken from {threshold(cut)}."
    )


def not_counted(line: RosterLine) -> list[str]:
    """Return what does not count: tests set aside by the line, swims left out, and why."""
    aside = [set_aside_line(test) for test in line.verdict.set_aside] if line.verdict else []
    return aside + left_out_lines(line.left_out)
