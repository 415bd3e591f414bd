"""Which practices can hurt somebody, recognised by the words in which people write them down.

A cue, a drill, a note, the name of a test, a kit: whatever is typed goes through `codes_of`, and the
cautions it calls for come back as codes. The table of practices, with words, line and source of each, is
`model/practices.toml`. Words are compared whole, without case and accents, so "breathless" is no
breath-hold. What is said not to be done ("no paddles", "never alone") calls for nothing.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import cache
from typing import Final

from tracker.model.practices import Caution, body_part_words, practices
from tracker.model.vocabularies import BodyPart

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


def codes_of(texts: Iterable[str]) -> tuple[Caution, ...]:
    """Return the cautions that what is written in `texts` calls for, each once."""
    found: dict[Caution, None] = {}
    for text in texts:
        words = folded(text)
        if words != "|  |":
            found |= dict.fromkeys(_codes_in(words))
    return tuple(found)


def calls_for(code: Caution, text: str) -> bool:
    """Return whether `text` calls for one caution."""
    words = folded(text) if text.strip() else "|  |"
    return words != "|  |" and _called(code, words)


def loads(text: str, code: Caution) -> bool:
    """Return whether a drill loads what `code` is about so much that it is left out while that is hurt."""
    return _called(code, folded(text), light=False)


def parts_in(note: str) -> frozenset[BodyPart]:
    """Return the parts of the body that a note names."""
    known = body_part_words()
    return frozenset(known[word] for word in folded(note).split() if word in known)


def folded(text: str) -> str:
    """Return text as words in small letters without accents, numbers in digits, clauses between bars."""
    plain = "".join(c for c in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(c))
    plain = re.sub("['’`]", "", plain).replace("°", " deg ").replace("%", " percent ").replace("×", " x ")
    plain = re.sub(r"(?<=\d)[.,:/](?=\d)", " ", plain)
    tokens = re.findall(r"[^\W\d_]+|\d+|[.,;:!?()\n]", plain)
    words = (_NUMBERS.get(t, t) if t[0].isalnum() else "|" for t in tokens if t not in {"th"})
    return f"| {' '.join(words)} |".replace("under water", "underwater")


def _codes_in(words: str) -> Iterable[Caution]:
    return (code for code in practices() if _called(code, words))


def _called(code: Caution, words: str, *, light: bool = True) -> bool:
    allowed, firm, lightly = _compiled(code)
    if code is Caution.UNDERWATER and any(map(_is_swum_underwater, _UNDERWATER.findall(words))):
        return True
    wanted = (allowed, lightly) if light else (allowed,)
    said = (at for pattern in wanted for at in pattern.finditer(words))
    return firm.search(words) is not None or any(not _is_denied(words, at) for at in said)


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
def _compiled(code: Caution) -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
    """Return what a denial takes back, what it does not, and what loads lightly, made ready once."""
    practice = practices()[code]
    return _either(practice.words), _either(practice.firm), _either(practice.light)


def _either(words: tuple[str, ...]) -> re.Pattern[str]:
    return re.compile(rf"(?<= )(?:{'|'.join(words)})(?= )" if words else r"(?!)")
