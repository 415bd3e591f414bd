"""What `next` proposes: no own practice without air, the cautions of faults and open water, short tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tracker.model.catalogue import fault
from tracker.model.practices import Caution
from tracker.output.cautions import caution

INES = "Ines Aalto"
OPEN_WATER = caution(Caution.OPEN_WATER)
FAULT_HELD = f"caution: {fault('breath-held').caution}"
PUSH_OFF = f"caution: {fault('push-off-loose').caution}"


def page_of(cli: Cli) -> str:
    """Return the text of a fresh page, line breaks apart."""
    made = cli("page", INES, "--month", "2026-06", "--format", "txt", "--out", "pages")
    assert made.code == 0, made.err
    (page,) = Path("pages").rglob("*.txt")
    return " ".join(page.read_text(encoding="utf-8").split())


def test_an_own_drill_under_water_never_becomes_the_prescription(ines: Cli) -> None:
    """Filed against held breath by a coach, it once came back to a child of 12 as "Do: underwater 25 m"."""
    ines("swimmer", "edit", INES, "--born", "2014")
    ines("fault", INES, "open", "breath-held", "--by", "Bo Lind")
    ines("drill", INES, "start", "underwater 25 m", "--fault", "breath-held")
    ines("cue", INES, "start", "hold your breath", "--fault", "breath-held")
    said = ines("next", INES)
    assert "Do: bobs at the wall, breathing out all the while" in said.out
    assert "Think: Bubbles from the moment the face is in." in said.out
    assert 'Not offered here: the drill "underwater 25 m"' in said.out
    assert "Do: underwater" not in said.out
    assert "Think: hold your breath" not in said.out
    found = ines("next", INES, "--json").json["next"]["work_on"]
    assert found["drill"] == "bobs at the wall, breathing out all the while"
    page = page_of(ines)
    assert "Do: underwater" not in page
    assert "Not offered here" in page


def test_drills_of_an_own_fault_are_own_practices_too(ines: Cli) -> None:
    ines("fault", "add", "own-air", "--name", "short of air", "--drill", "lung busters", "--cue", "no breath")
    ines("fault", INES, "open", "own-air", "--by", "Bo Lind")
    said = ines("next", INES).out
    assert "lung busters" not in said
    assert "Think: no breath" not in said


@pytest.mark.parametrize(("slug", "says"), [("breath-held", FAULT_HELD), ("push-off-loose", PUSH_OFF)])
def test_the_caution_of_the_chosen_fault_goes_wherever_it_is_proposed(
    ines: Cli, slug: str, says: str
) -> None:
    ines("fault", INES, "open", slug, "--by", "Bo Lind")
    assert says in ines("next", INES).err.splitlines()
    assert says in ines("next", INES, "--json").json["next"]["cautions"]
    assert says.removeprefix("caution: ") in ines("why", INES).out
    assert says.removeprefix("caution: ") in page_of(ines)


def test_the_line_on_breath_allows_no_breath_holding_in_company_either() -> None:
    said = caution(Caution.BREATH)
    assert "Do no breath-holding and no fast, deep breathing before a swim, alone or with others." in said
    assert "never do it alone" not in said


def test_the_line_on_a_maximal_test_says_who_watches_and_who_asks_first() -> None:
    said = caution(Caution.MAXIMAL_TEST)
    for part in (
        "A lifeguard or trained observer watches.",
        "After illness, in pregnancy, with a heart or lung condition: ask a doctor first.",
        "Sore shoulder: no test.",
    ):
        assert part in said
    readme = " ".join((Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8").split())
    assert "lifeguard or trained observer" in readme
    assert "heart or lung condition" in readme


def test_cold_shock_is_not_denied_to_warmer_water() -> None:
    said = caution(Caution.OPEN_WATER)
    assert "in warmer water too" in said
    assert "worse below 15 C" in said


def test_a_last_test_in_open_water_is_cautioned_and_starts_beside_the_cover(ines: Cli) -> None:
    ines("log", INES, "t400", "6:40", "--date", "2026-06-20", "--course", "OW")
    said = ines("next", INES)
    assert OPEN_WATER in said.err.splitlines()
    assert "Start in the water beside the safety cover" in said.out
    assert "Push off from the wall" not in said.out
    assert OPEN_WATER.removeprefix("caution: ") in page_of(ines)
    why = ines("why", INES).out
    assert OPEN_WATER.removeprefix("caution: open") in why


def test_a_last_test_in_a_pool_pushes_off_from_the_wall_uncautioned(ines: Cli) -> None:
    ines("log", INES, "t400", "6:40", "--date", "2026-06-20", "--course", "SCM")
    said = ines("next", INES)
    assert OPEN_WATER not in said.err
    assert "Push off from the wall" in said.out


def test_the_usual_course_open_water_is_cautioned_where_no_test_says_otherwise(ines: Cli) -> None:
    ines("config", "set", "course", "OW")
    ines("fault", INES, "open", "kick-wide", "--by", "Bo Lind")
    assert OPEN_WATER in ines("next", INES).err.splitlines()


@pytest.mark.parametrize(
    ("kind", "note", "said"),
    [("race", "open water 3 km", True), ("race", "club gala", False), ("camp", "by the sea", False)],
)
def test_a_coming_race_in_open_water_is_cautioned(ines: Cli, kind: str, note: str, *, said: bool) -> None:
    ines("fault", INES, "open", "kick-wide", "--by", "Bo Lind")
    ines("event", INES, kind, "--from", "2026-07-20", "--note", note)
    assert (OPEN_WATER in ines("next", INES).err.splitlines()) is said


@pytest.mark.parametrize(("born", "distance"), [("2014", "400 m"), ("2008", "1500 m"), ("1990", "1500 m")])
def test_a_child_under_14_is_not_asked_for_1500_m_all_out(ines: Cli, born: str, distance: str) -> None:
    ines("swimmer", "edit", INES, "--born", born)
    ines("log", INES, "t1500", "26:00", "--date", "2026-05-20")
    said = ines("next", INES).out
    assert f"The test: {distance}" in said
    assert ("200 or 400 m under 14 (common practice, no source)" in said) is (distance == "400 m")


def test_a_child_who_swims_200_or_400_keeps_the_test(ines: Cli) -> None:
    ines("swimmer", "edit", INES, "--born", "2014")
    ines("log", INES, "t200", "3:10", "--date", "2026-05-20")
    said = ines("next", INES).out
    assert "The test: 200 m" in said
    assert "under 14" not in said
