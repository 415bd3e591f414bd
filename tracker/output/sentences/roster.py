"""Sentences on the roster: its verdicts, and what the threshold costs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from typing import NamedTuple, assert_never

from tracker.engine.verdict.false_plateaus import DECLARED, ExpectedFalse
from tracker.engine.verdict.verdict import Word
from tracker.output.sentences.numbers import capital, count, listed, number, sure
from tracker.technique.attention import Ground, RosterLine

_NUMBER_NAMES = (
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


class RowSummary(NamedTuple):
    """What the sentence needs of one line: the verdict's word ("" without one), new or not, the grounds."""

    word: str
    new: bool
    grounds: tuple[str, ...]


def roster_sentence(lines: Sequence[RosterLine]) -> str:
    """Return "Two new plateaus, one of them with a fault nobody is working on; five tests due."."""
    return summary_sentence(Counter(row_summary(line) for line in lines))


def row_summary(line: RosterLine) -> RowSummary:
    """Return what the sentence needs of a line."""
    return RowSummary(line.word or "", line.new, line.attention.grounds)


def summary_sentence(summaries: Counter[RowSummary]) -> str:
    """Return the sentence of `roster_sentence` from a count of row summaries."""
    if not summaries:
        return "Nobody is on the roster yet."

    def among(which: Callable[[RowSummary], bool]) -> int:
        return sum(number for summary, number in summaries.items() if which(summary))

    plateaus = among(lambda line: line.new and line.word == Word.PLATEAU)
    waiting = among(
        lambda line: line.new and line.word == Word.PLATEAU and Ground.PLATEAU_OPEN_FAULT in line.grounds
    )
    parts = [_counted(plateaus, "new plateau")]
    if waiting:
        of_them = "with" if plateaus == 1 else f"{_word(waiting)} of them with"
        parts[0] += f", {of_them} a fault nobody is working on"
    slips = among(lambda line: line.new and line.word == Word.SLIPPING)
    if slips:
        parts.append(f"{_word(slips)} newly slipping")
    tests = among(lambda line: Ground.TEST_DUE in line.grounds)
    looks = among(lambda line: Ground.LOOK_DUE in line.grounds)
    due = [_counted(number, what) for number, what in ((tests, "test"), (looks, "look")) if number]
    parts.append(f"{' and '.join(due)} due" if due else "nothing due")
    left = among(lambda line: Ground.LEFT_ALONE in line.grounds)
    if left:
        parts.append(f"{_word(left)} left alone until a date")
    return capital("; ".join(parts)) + "."


def month_sentence(lines: Sequence[RosterLine]) -> str:
    """Return how many swimmers have which verdict: the first line of a month's summary."""
    counts = Counter(line.word or Word.TOO_EARLY for line in lines)
    waiting = sum(Ground.PLATEAU_OPEN_FAULT in line.attention.grounds for line in lines)
    of_them = f" ({waiting} with a fault nobody is working on)" if waiting else ""
    parts = [f"{counts[Word.PLATEAU]} on a plateau{of_them}"]
    order = sorted((said for said in Word if said is not Word.PLATEAU and counts[said]), key=_rank)
    parts += [f"{counts[said]} {_of_a_count(said)}" for said in order]
    return f"Of {count(len(lines), 'swimmer')}: {listed(parts)}."


def _rank(said: Word) -> int:
    """Return the place of a word in the count, those in need first."""
    match said:
        case Word.PLATEAU:
            return 0
        case Word.SLIPPING:
            return 1
        case Word.SLOWED:
            return 2
        case Word.GAINING:
            return 3
        case Word.UNDECIDED:
            return 4
        case Word.TOO_EARLY:
            return 5
        case other:
            assert_never(other)


def _of_a_count(said: Word) -> str:
    return "too early to say" if said is Word.TOO_EARLY else said


def _word(number: int) -> str:
    return _NUMBER_NAMES[number] if number < len(_NUMBER_NAMES) else str(number)


def _counted(number: int, noun: str) -> str:
    return (
        f"{_word(number)} {noun}"
        if number == 1
        else f"{_word(number)} {count(number, noun).split(' ', 1)[1]}"
    )


def expected_false_sentence(expected: ExpectedFalse) -> str:
    """Return how many of a roster's plateaus are expected to be none; empty without any."""
    if not expected.called:
        return ""
    wrong = expected.called * expected.share
    return (
        f"Of {expected.called} called a plateau about {number(wrong, 1)} are expected not to be "
        f"({100 * expected.share:.0f} %), if each is as sure as it says{_surest(expected)}."
    )


def _surest(expected: ExpectedFalse) -> str:
    """Return which of them to count where at most `DECLARED` are to be false."""
    if expected.share <= DECLARED:
        return ""
    if not expected.kept:
        return f"; none is sure enough for a list with at most {100 * DECLARED:.0f} % false ones"
    return (
        f"; of the {expected.kept} surest ({sure(expected.cut)} or more) at most {100 * DECLARED:.0f} % are"
    )


def neighbour_words(order: Sequence[str], at: int, *, stays: bool) -> str:
    """Return who is shown of an order, and who stands before and after; with `stays`, that it ends there."""
    name, of = order[at], len(order)
    if stays:
        return f"{name} is the {'first' if at == 0 and of > 1 else 'last'} of {of}."
    beside = (("before", at - 1), ("next", at + 1))
    named = [f"{word}: {order[place]}" for word, place in beside if 0 <= place < of]
    return f"{'; '.join((f'{name}, {at + 1} of {of}', *named))}."


def marked_words(names: Sequence[str]) -> str:
    """Return who is marked, and that what is done next is done with all of them."""
    if not names:
        return "Nobody is marked any more."
    return f"{len(names)} marked, for what is done next: {', '.join(names)}."
