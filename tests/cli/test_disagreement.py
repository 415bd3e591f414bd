"""Two reviewers look at one swimmer on one day and disagree: it is said, and who typed first is no matter."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli

INES = "Ines Aalto"
BO = ("review", INES, "--by", "Bo Lind", "--date", "2026-06-20", "--corrected", "breath-late")
MIKA = ("review", INES, "--by", "Mika", "--date", "2026-06-20", "--fault", "breath-late=1")
SAID = "on 20 June Bo Lind saw it corrected, Mika still saw it. It counts as"


def told(cli: Cli, home: Path, *looks: tuple[str, ...]) -> dict[str, str]:
    """Return everything that is said of the fault after these looks, of a database of its own."""
    name = str(len(list(home.glob("*.db"))))
    first = ("review", INES, "--by", "Mika", "--date", "2026-05-01", "--fault", "breath-late=2")
    for words in (
        ("swimmer", "add", INES),
        *(("log", INES, "t400", f"6:{40 + place}", "--date", f"2026-0{place}-04") for place in range(1, 7)),
        first,
        *looks,
    ):
        ran = cli("--db", f"{name}.db", *words)
        assert ran.code == 0, ran.err
    out = str(home / f"pages-{name}")
    cli("--db", f"{name}.db", "page", INES, "--month", "2026-06", "--format", "txt", "--out", out)
    (page,) = (home / f"pages-{name}").glob("*.txt")
    said = {word: cli("--db", f"{name}.db", word, INES).out for word in ("why", "next")}
    text = " ".join(page.read_text(encoding="utf-8").split())
    return said | {"board": cli("--db", f"{name}.db", "board").out, "page": text}


@pytest.mark.parametrize(
    ("bo", "mika", "counts"),
    [
        ((), (), "uncorrected: neither look is the more careful one, so the fault stays."),
        (("--clip", "a1"), (), "corrected: only that look has a clip or a measure."),
        ((), ("--measure", "shoulder-roll:left=58"), "uncorrected: only that look has a clip or a measure."),
    ],
)
def test_either_order_of_typing_says_the_same_and_who_disagrees(
    cli: Cli, home: Path, bo: tuple[str, ...], mika: tuple[str, ...], counts: str
) -> None:
    one = told(cli, home, (*BO, *bo), (*MIKA, *mika))
    other = told(cli, home, (*MIKA, *mika), (*BO, *bo))
    for said in (one, other):  # what was written down in June is listed as it was typed
        said["page"] = "".join(said["page"].partition("What next")[1:])
    assert one == other
    assert f"{SAID} {counts}" in one["why"]
    assert f"{SAID} {counts}" in one["page"]
    state = "corrected" if counts.startswith("corrected") else "open"
    assert one["board"].splitlines()[1].startswith(state)
