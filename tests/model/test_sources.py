"""Every number has a home: in the code, in the catalogue and in the reference checks."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.model.numbers_in_code import NEUTRAL, numbers_by_place
from tracker.model.catalogue import Fault, Measure, catalogue, measures
from tracker.model.sources import Basis, HowRead, constants, figure, named, sources

ROOT = Path(__file__).resolve().parents[2]
MODULES = (
    "engine.series.conditions",
    "engine.series.protocols",
    "engine.trend.priors",
    "engine.trend.reliability",
    "engine.verdict.age",
    "model.css",
    "model.plausibility",
    "model.stroke",
    "model.units",
    "settings",
    "technique.reviewing",
)
"""Where a number may be from outside: each one of theirs stands in the ledger."""
REFERENCE = sorted((ROOT / "tests" / "reference").glob("test_*.py"))
CHECKED = [
    *(ROOT / "tracker").rglob("*.py"),
    *(ROOT / "tests").rglob("*.py"),
    ROOT / "tracker" / "model" / "faults.toml",
    ROOT / "README.md",
    ROOT / "DEVELOPERS.md",
]
MONTHS = {"January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December", "Jan", "Feb", "Mar", "Apr", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov",
          "Dec", "Fjord", "Copyright"}  # fmt: skip
"""Words that stand before a year and are no author (a regatta of the invented club among them)."""
NAMED = re.compile(r"\b([A-Z][\w-]+)(?:'s|,? et al\.)?,?\s+\(?((?:18|19|20)\d\d)\b")
NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?!\w)")


def in_code() -> dict[str, list[float]]:
    found: dict[str, list[float]] = {}
    for module in MODULES:
        file = ROOT / "tracker" / f"{module.replace('.', '/')}.py"
        for place, numbers in numbers_by_place(file.read_text(encoding="utf-8")).items():
            found[f"{module}:{place}"] = numbers
    return found


def test_every_number_of_the_code_stands_in_the_ledger_with_its_value() -> None:
    ledger = {at: list(constant.value) for at, constant in constants().items()}
    assert in_code() == ledger


def test_a_number_planted_in_the_code_is_found() -> None:
    """So the test above fails on it: in a constant, a class, a function, a default, a branch."""
    plain = numbers_by_place("A = 1\n\nclass B:\n    x: float = 2.0\n\ndef f(x):\n    return x\n")
    assert plain == {"A": [1], "B.x": [2.0]}
    planted = {
        "A = 1.5": {"A": [1.5]},
        "A, B = 1, -2": {"A": [1], "B": [-2]},
        "A = {'x': (3, 4.0)}": {"A": [3, 4.0]},
        "def f(x):\n    return 0.97 * x": {"f()": [0.97]},
        "def f(x, y=7):\n    return x / 2 + 100": {"f()": [7]},
        "class B:\n    def f(self):\n        return 3 if self else 1": {"B.f()": [3]},
        "if True:\n    A = 5": {"()": [5]},
    }
    for source, expected in planted.items():
        assert numbers_by_place(source) == expected


@pytest.mark.parametrize("at", sorted(constants()))
def test_a_constant_says_what_it_rests_on_and_for_whom(at: str) -> None:
    constant = constants()[at]
    assert constant.says
    assert constant.rely
    assert {one.id for one in named(constant.sources)} == set(constant.sources)
    if constant.basis in {Basis.PUBLISHED, Basis.DERIVED}:
        assert constant.sources


@pytest.mark.parametrize("one", sources().values(), ids=list(sources()))
def test_a_source_says_whose_it_is_and_how_it_was_read(one) -> None:
    assert one.cite
    assert one.who
    if one.read in {HowRead.FULL, HowRead.TABLE, HowRead.DATA} and not one.id.startswith("records"):
        assert one.identifier or "run for this project" in one.cite
    for found in one.found:
        assert found.what
        assert found.value


def entries() -> list[Fault | Measure]:
    return [*catalogue(), *measures()]


def figures_in(*texts: str) -> set[float]:
    """Numbers of texts. A hyphen between two is a span, a year after a name is a citation."""
    text = NAMED.sub("", " ".join(texts)).replace("±", " ")
    return {float(number) for number in NUMBER.findall(re.sub(r"(?<=\d)-(?=\d)", " ", text))}


@pytest.mark.parametrize("entry", entries(), ids=lambda entry: entry.slug)
def test_each_figure_of_the_catalogue_stands_in_a_source_that_the_entry_names(entry: Fault | Measure) -> None:
    known = {value for one in named(entry.sources) for value in one.values}
    if isinstance(entry, Fault):
        said = figures_in(entry.norm, entry.cost, entry.caution)
    else:
        said = figures_in(entry.norm)
    assert said <= known


@pytest.mark.parametrize("entry", entries(), ids=lambda entry: entry.slug)
def test_whoever_the_catalogue_names_is_in_the_ledger(entry: Fault | Measure) -> None:
    cited = entry.cost_source if isinstance(entry, Fault) else entry.source
    cites = {one.cite for one in named(entry.sources)}
    if cited and cited not in {"common practice", "no norm known"}:
        assert set(cited.split("; ")) <= cites


@pytest.mark.parametrize("file", REFERENCE, ids=lambda file: file.stem)
def test_a_check_value_of_the_reference_tests_stands_in_the_ledger(file: Path) -> None:
    """A number with three digits or more in a comparison there is a check value: it comes from the ledger."""
    known = {abs(value) for one in sources().values() for value in one.values}
    for value in check_values(file.read_text(encoding="utf-8")):
        assert abs(value) in known, f"{value} in {file.name}"


def check_values(source: str) -> Iterator[float]:
    """Yield numbers of three digits or more that a test asserts or is parametrized with."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Assert | ast.Call) and not isinstance(node, ast.Attribute):
            called = ast.unparse(node.func) if isinstance(node, ast.Call) else "assert"
            if called in {"assert", "pytest.approx", "pytest.mark.parametrize"}:
                for part in ast.walk(node):
                    if (
                        isinstance(part, ast.Constant)
                        and isinstance(part.value, float)
                        and digits(part.value) > 2
                    ):
                        yield part.value


def digits(value: float) -> int:
    """Return the number of figures without zeros at the ends: 0.0411 has 3, 1e-10 has 1."""
    return len(f"{abs(value):.15g}".split("e")[0].replace(".", "").strip("0"))


def test_a_check_value_planted_in_a_reference_test_is_found() -> None:
    planted = "def test() -> None:\n    assert x == pytest.approx(0.0412, abs=1e-3)\n"
    assert set(check_values(planted)) == {0.0412}
    assert not {0.0412} & {abs(value) for one in sources().values() for value in one.values}


def test_every_work_that_code_tests_or_documents_name_is_in_the_ledger() -> None:
    """Author and year, wherever somebody wrote them; so each can be looked up with its identifier."""
    known = "; ".join("; ".join((one.cite, one.identifier, *one.also)) for one in sources().values())
    years = {
        (name, year)
        for part in known.split("; ")
        for year in re.findall(r"\b(?:18|19|20)\d\d\b", part)
        for name in re.findall(r"[A-Z][\w-]+", part)
    }
    for file in CHECKED:
        for name, year in NAMED.findall(file.read_text(encoding="utf-8")):
            if name not in MONTHS:
                assert (name, year) in years, f"{name} {year} in {file.relative_to(ROOT)}"


def test_a_source_is_there_because_something_uses_it() -> None:
    used = {one for constant in constants().values() for one in constant.sources}
    used |= {one for entry in entries() for one in entry.sources}
    texts = [file.read_text(encoding="utf-8") for file in CHECKED if file.suffix == ".py"]
    for one in sources().values():
        surname = one.cite.split()[1] if one.cite.startswith("de ") else re.split(r"[ ,]", one.cite)[0]
        assert one.id in used or any(f'"{one.id}"' in text or surname in text for text in texts), one.id


def test_what_the_code_takes_over_from_a_work_is_what_the_work_has() -> None:
    """For constants said to be published or derived: their values are among those of their sources."""
    for constant in constants().values():
        if constant.basis is Basis.PUBLISHED:
            known = [abs(value) for one in named(constant.sources) for value in one.values]
            for value in constant.value:
                assert value in NEUTRAL or any(abs(abs(value) - one) <= 0.05 for one in known), constant.at


def test_figures_are_found_by_their_words() -> None:
    assert figure("lok-2020", "best hour") == (17.2,)
    with pytest.raises(KeyError):
        figure("lok-2020", "worst hour")
