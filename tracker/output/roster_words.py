"""The roster in one sentence: what is new and what is due."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from typing import NamedTuple

from tracker.faults.roster_line import RosterLine
from tracker.output.numbers import capital, count, listed
from tracker.output.wording import word

_WORDS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


class Standing(NamedTuple):
    """What the sentence needs of one line: the verdict's word ("" without one), new or not, the grounds."""

    word: str
    new: bool
    grounds: tuple[str, ...]


def roster_sentence(lines: Sequence[RosterLine]) -> str:
    """Return "Two new plateaus, one of them with a fault nobody is working on; five tests due."."""
    return standing_sentence(Counter(standing_of(line) for line in lines))


def standing_of(line: RosterLine) -> Standing:
    """Return what the sentence needs of a line."""
    return Standing(line.verdict.verdict if line.verdict else "", line.new, line.attention.grounds)


def standing_sentence(standings: Counter[Standing]) -> str:
    """Return the sentence of `roster_sentence` from how many lines stand how."""
    if not standings:
        return "Nobody is on the roster yet."

    def among(which: Callable[[Standing], bool]) -> int:
        return sum(number for standing, number in standings.items() if which(standing))

    plateaus = among(lambda line: line.new and line.word == "plateau")
    waiting = among(
        lambda line: line.new and line.word == "plateau" and "plateau with an open fault" in line.grounds
    )
    parts = [_counted(plateaus, "new plateau")]
    if waiting:
        of_them = "with" if plateaus == 1 else f"{_word(waiting)} of them with"
        parts[0] += f", {of_them} a fault nobody is working on"
    slips = among(lambda line: line.new and line.word == "slipping")
    if slips:
        parts.append(f"{_word(slips)} newly slipping")
    tests = among(lambda line: "test due" in line.grounds)
    looks = among(lambda line: "look due" in line.grounds)
    due = [_counted(number, what) for number, what in ((tests, "test"), (looks, "look")) if number]
    parts.append(f"{' and '.join(due)} due" if due else "nothing due")
    return capital("; ".join(parts)) + "."


def month_sentence(lines: Sequence[RosterLine]) -> str:
    """Return how many swimmers have which verdict: the first line of a month's summary."""
    counts = Counter(word(line.verdict) for line in lines)
    waiting = sum("plateau with an open fault" in line.attention.grounds for line in lines)
    of_them = f" ({waiting} with a fault nobody is working on)" if waiting else ""
    parts = [f"{counts['plateau']} on a plateau{of_them}"]
    parts += [f"{counts[said]} {said}" for said in ("slipping", "slowed", "gaining") if counts[said]]
    early = counts["too early"] + counts["no tests"]
    parts += [f"{early} too early to say"] if early else []
    return f"Of {count(len(lines), 'swimmer')}: {listed(parts)}."


def _word(number: int) -> str:
    return _WORDS[number] if number < len(_WORDS) else str(number)


def _counted(number: int, noun: str) -> str:
    return (
        f"{_word(number)} {noun}"
        if number == 1
        else f"{_word(number)} {count(number, noun).split(' ', 1)[1]}"
    )
