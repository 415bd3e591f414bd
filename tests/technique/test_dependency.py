"""What feeds another fault is worked on before it; the data go round in no circle."""

from __future__ import annotations

from itertools import product

import pytest

from tests.technique.build import day
from tests.technique.test_next_step import CATALOGUE, proposed
from tracker.model.catalogue import Dependency, dependencies
from tracker.model.vocabularies import Depends
from tracker.output.sentences.next_step import next_lines

NAMES = {slug: entry.name for slug, entry in CATALOGUE.items()}
LEADS = [one for one in dependencies() if one.how is Depends.LEADS_TO]
SEVERITIES = list(product((1, 2, 3), (1, 2, 3)))


def test_every_dependency_names_faults_of_the_catalogue_once_and_has_its_source() -> None:
    pairs = [(one.fault, one.then) for one in dependencies()]
    assert len(set(pairs)) == len(pairs)
    assert {slug for pair in pairs for slug in pair} <= set(CATALOGUE)
    assert all(one.fault != one.then for one in dependencies())
    for one in dependencies():
        assert one.source == "common practice, no source" or any(year in one.source for year in ("19", "20"))


def test_nothing_feeds_itself_in_the_end() -> None:
    after: dict[str, set[str]] = {}
    for one in dependencies():
        after.setdefault(one.fault, set()).add(one.then)

    def reaches(start: str, goal: str, seen: frozenset[str]) -> bool:
        return any(
            one == goal or (one not in seen and reaches(one, goal, seen | {one}))
            for one in after.get(start, set())
        )

    assert not [slug for slug in after if reaches(slug, slug, frozenset({slug}))]


def order(*lines: str, plateau: bool = False) -> list[str]:
    step = proposed(*lines, plateau=plateau)
    taken = [one.fault for one in (step.first, step.second) if one]
    return [*taken, *(left.fault for left in step.leave)]


@pytest.mark.parametrize("one", dependencies(), ids=lambda one: f"{one.fault}>{one.then}")
@pytest.mark.parametrize("severities", SEVERITIES)
def test_a_fed_fault_never_comes_before_what_feeds_it(one: Dependency, severities: tuple[int, int]) -> None:
    """Both open, neither linked. What only comes before yields to a graver fault."""
    first, second = severities
    found = order(f"03-10 open {one.fault} {first}", f"03-10 open {one.then} {second}")
    if one.how is Depends.LEADS_TO or first >= second:
        assert found.index(one.fault) < found.index(one.then)


@pytest.mark.parametrize("one", LEADS, ids=lambda one: f"{one.fault}>{one.then}")
def test_a_link_outweighs_what_is_only_practice(one: Dependency) -> None:
    """The fed fault was left when the line went flat; the feeder came after."""
    lines = (f"2026-02-20 open {one.then} 3", f"2026-05-20 open {one.fault} 1")
    step = proposed(*lines)
    assert step.first is not None
    if CATALOGUE[one.then].park:
        return
    assert step.first.fault == one.then


def test_what_is_in_work_goes_on_though_its_feeder_is_open() -> None:
    lines = ("03-10 open legs-low 2", "06-01 work legs-low", "03-10 open breath-lift 1")
    assert order(*lines)[0] == "legs-low"


def test_a_parked_feeder_holds_nothing_up() -> None:
    lines = ("03-10 open legs-low 1", "03-10 open breath-lift 1", "06-01 parked breath-lift: later")
    assert order(*lines)[0] == "legs-low"


def test_it_is_said_in_one_sentence_on_both_sides() -> None:
    step = proposed("03-10 open legs-low 3", "03-10 open breath-lift 1", plateau=False)
    lines = next_lines(step, NAMES, day("06-30"))
    work = lines.index("Work on: head lifted to breathe (open, severity 1).")
    assert "it feeds legs and hips sink (common practice)" in next(
        line for line in lines[work:] if line.startswith("  Why")
    )
    assert (
        "Leave: legs and hips sink (open): first head lifted to breathe, which feeds it (common practice)."
        in lines
    )
