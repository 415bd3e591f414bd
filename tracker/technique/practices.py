"""Which practices can hurt somebody, recognised by the words in which people write them down.

A cue, a drill, a note, the name of a test, a kit: whatever is typed goes through `codes_of`, and the
cautions it calls for come back as codes (`output.cautions` has their words).
Words are compared whole, without case and accents, so "breathless" is no breath-hold. What is said not to
be done ("no paddles", "never alone") calls for nothing. The words stand in `practice_patterns`.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from enum import StrEnum
from functools import cache
from typing import Final

from tracker.technique.practice_patterns import LEG, NEITHER, RULES, SHOULDER, Caution

_NUMBERS: Final = {
    name: str(number)
    for names in (
        "zero one two three four five six seven eight nine ten eleven twelve",
        "zeroth first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth",
    )
    for number, name in enumerate(names.split())
    if name not in {"zero", "first", "second", "third"}
}
_DENIAL: Final = re.compile(
    r" (?:no|not|never|without|dont|do not|avoid|instead of|rather than|leave out|nor)"
    r"(?: (?:the|your|any|a|an|to|be|go|swim|swimming|train|use|using|wear"
    r"|with|in|more|hard|long|big|these|do|doing"
    r"|at|water|(?:fins|snorkel|buoy|paddles|bands|boards) (?:or|and)))* $"
)
_UNDERWATER: Final = re.compile(r"\|([^|]* underwater(?= )[^|]*)")
_UNDERWATER_SWUM: Final = re.compile(
    r" (?:\d+|kick|kicks|kicking|dolphin|dolphins|lengths?|laps?|glides?"
    r"|sprints?|dive|hold|sets?|relay)(?= )"
    r"| (?:swim|swims|swimming|swum|stay|go) (?:\w+ )?underwater(?= )"
    r"| underwater (?:swim|swims|swimming)(?= )"
)
_UNDERWATER_ELSE: Final = re.compile(
    r" (?:exhale|exhales|exhaling|bubbles?|blow|out|hum|film|films|filmed"
    r"|filming|video|videos|camera|cameras|clips?|view"
    r"|views|photos?|footage|window|look|watch|recovery|recover|recovers"
    r"|hands?|fingers?|fingertips|arms?|elbows?"
    r"|forearms?|catch|pull|phase|path|face|head|eyes|ears|speaker|music|stroke)(?= )"
)


class Site(StrEnum):
    """Where an injury is."""

    SHOULDER = "shoulder"
    LEG = "leg"
    UNKNOWN = "unknown"


def codes_of(texts: Iterable[str]) -> tuple[Caution, ...]:
    """Return the cautions that what is written in `texts` calls for, each once."""
    found: dict[Caution, None] = {}
    for text in texts:
        words = folded(text)
        if words != "|  |":
            found |= dict.fromkeys(_codes_in(words))
    return tuple(found)


def site_of(note: str) -> Site:
    """Return where an injury is by its note: a leg only where nothing above the hip is named too."""
    words = set(folded(note).split())
    if words & SHOULDER:
        return Site.SHOULDER
    return Site.LEG if words & LEG and not words & NEITHER else Site.UNKNOWN


def folded(text: str) -> str:
    """Return text as words in small letters without accents, numbers in digits, clauses between bars."""
    plain = "".join(c for c in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(c))
    plain = re.sub("['’`]", "", plain).replace("°", " deg ").replace("%", " percent ").replace("×", " x ")
    plain = re.sub(r"(?<=\d)[.,:/](?=\d)", " ", plain)
    tokens = re.findall(r"[^\W\d_]+|\d+|[.,;:!?()\n]", plain)
    words = (_NUMBERS.get(t, t) if t[0].isalnum() else "|" for t in tokens if t not in {"th"})
    return f"| {' '.join(words)} |".replace("under water", "underwater")


def _codes_in(words: str) -> Iterable[Caution]:
    for code, allowed, denied in _compiled():
        if any(not _is_denied(words, at) for at in allowed.finditer(words)) or denied.search(words):
            yield code
    if any(_is_swum_underwater(clause) for clause in _UNDERWATER.findall(words)):
        yield Caution.BREATH


def _is_swum_underwater(clause: str) -> bool:
    before = clause[: clause.index(" underwater") + 1]
    if _DENIAL.search(before):
        return False
    return _UNDERWATER_SWUM.search(clause) is not None or not _UNDERWATER_ELSE.search(clause)


def _is_denied(words: str, at: re.Match[str]) -> bool:
    before = words[: at.start()]
    stopped = at[0].split(" ")[0].endswith("ing") and before.endswith(" stop ")
    return stopped or _DENIAL.search(before) is not None


@cache
def _compiled() -> tuple[tuple[Caution, re.Pattern[str], re.Pattern[str]], ...]:
    """Return for each code what a denial takes back and what it does not, made ready once."""
    by_code: Mapping[Caution, tuple[list[str], list[str]]] = {rule.code: ([], []) for rule in RULES}
    for rule in RULES:
        by_code[rule.code][0 if rule.denied else 1].append(rule.words)
    return tuple((code, _either(allowed), _either(firm)) for code, (allowed, firm) in by_code.items())


def _either(words: list[str]) -> re.Pattern[str]:
    return re.compile(rf"(?<= )(?:{'|'.join(words)})(?= )" if words else r"(?!)")
