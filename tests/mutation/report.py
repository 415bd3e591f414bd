"""What came of the mutants, as a page to read and as a file to count in."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from tests.mutation.operators import Mutant

SURVIVED = "survived"
INTRODUCTION = """# Mutants: would the tests notice a small mistake?

One change a mutant (a comparison, a number, a sign, a condition, a `not`, what is returned), drawn at
random from each folder by `python -m tests.mutation --each {each} --seed {seed}`. *Beside* counts the tests
in the folder of the same name, *in all* those further up as well. One that does not come to an end counts
as noticed. No equivalent mutant is taken out of the figures. A run may end before its sample does: the table
counts what was tried, and slow mutants less often. In brackets: 95 % interval (Wilson 1927).
"""


@dataclass(frozen=True)
class Outcome:
    """What the tests beside a mutant made of it and, if it survived them, those further up."""

    folder: str
    mutant: Mutant
    beside: str
    further: str | None

    @property
    def noticed_beside(self) -> bool:
        return self.beside != SURVIVED

    @property
    def noticed(self) -> bool:
        return self.noticed_beside or self.further not in {None, SURVIVED}

    @property
    def key(self) -> str:
        """What a reason is kept under: stays the same when lines above come or go."""
        return f"{self.mutant.file}: {self.mutant.text}: {self.mutant.old} -> {self.mutant.new}"


def interval(part: int, whole: int) -> tuple[float, float]:
    """Return the 95 % interval of a share (Wilson 1927, JASA 22:209-212)."""
    z, share = 1.959964, part / whole
    middle = share + z * z / (2 * whole)
    half = z * math.sqrt(share * (1 - share) / whole + z * z / (4 * whole * whole))
    return (middle - half) / (1 + z * z / whole), (middle + half) / (1 + z * z / whole)


def write(folder: Path, outcomes: Sequence[Outcome], *, seed: int, each: int) -> None:
    """Write README.md and mutants.json.

    Folders that were not tried this time keep their outcomes, if they come from the same sample.
    reasons.json beside them is written by hand and only read.
    """
    folder.mkdir(parents=True, exist_ok=True)
    tried = {one.folder for one in outcomes}
    before = _read(folder / "mutants.json")
    same = (before.get("seed"), before.get("each")) == (seed, each)
    kept = [_outcome(row) for row in before.get("mutants", []) if same and row["folder"] not in tried]
    every = sorted([*kept, *outcomes], key=lambda one: (one.folder, one.mutant.file, one.mutant.start))
    rows = [asdict(one) for one in every]
    text = json.dumps({"seed": seed, "each": each, "mutants": rows}, indent=1, ensure_ascii=False)
    (folder / "mutants.json").write_text(text + "\n", encoding="utf-8")
    page = [INTRODUCTION.format(each=each, seed=seed), *_table(every), "", *_left(folder, every)]
    (folder / "README.md").write_text("\n".join(page) + "\n", encoding="utf-8")


def _table(outcomes: Sequence[Outcome]) -> list[str]:
    said = ["| folder | mutants | noticed beside | noticed in all |", "|---|---|---|---|"]
    for name in [*dict.fromkeys(one.folder for one in outcomes), "all"]:
        of = [one for one in outcomes if name in (one.folder, "all")]
        near, far = sum(one.noticed_beside for one in of), sum(one.noticed for one in of)
        said.append(f"| {name} | {len(of)} | {_share(near, len(of))} | {_share(far, len(of))} |")
    return said


def _share(part: int, whole: int) -> str:
    if not whole:
        return "none tried"
    low, high = interval(part, whole)
    return f"{part} ({100 * part / whole:.0f} %, {100 * low:.0f} to {100 * high:.0f} %)"


def _left(folder: Path, outcomes: Sequence[Outcome]) -> list[str]:
    reasons = _read(folder / "reasons.json")
    left = [one for one in outcomes if not one.noticed]
    said = [f"## The {len(left)} that nobody noticed", ""]
    for one in left:
        change = f"`{one.mutant.old}` to `{one.mutant.new}`".replace("\n", " ")
        why = reasons.get(one.key, "not looked into yet")
        said.append(f"- {one.mutant.file}:{one.mutant.line} {change}: {why}")
    return said


def _outcome(row: dict[str, Any]) -> Outcome:
    return Outcome(row["folder"], Mutant(**row["mutant"]), row["beside"], row["further"])


def _read(file: Path) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(file.read_text(encoding="utf-8")) if file.exists() else {}
    return found
