"""What to work on next, the coach's own choice, the draw, and whether it helped, on the invented club."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tracker.app.demo import build_demo
from tracker.settings import Settings

STOPS = "own-kick-stops"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented club's database, built once."""
    folder = tmp_path_factory.mktemp("built") / "club"
    build_demo(folder, settings=Settings()).store.close()
    return next(folder.glob("*.db"))


@pytest.fixture
def club(cli: Cli, home: Path, built: Path, monkeypatch: pytest.MonkeyPatch) -> Cli:
    """A database of its own that holds the invented club."""
    shutil.copy(built, home / "club.db")
    monkeypatch.setenv("SLACKWATER_DB", str(home / "club.db"))
    return cli


def test_next_tells_what_to_work_on_with_cue_drill_and_reasons(club: Cli) -> None:
    """The late breath of October was left; nobody works on it; it is the one thing to do."""
    ran = club("next", "Ines Aalto")
    assert ran.code == 0
    assert "  Work on: breath comes late, left (open, severity 2)." in ran.out
    assert "    Do: side kick with a breath" in ran.out
    assert "  And: kick stops at the breath (open, severity 1)." in ran.out
    assert "    1 Warm up easily" in ran.out
    assert "maximal test" in ran.err
    found = club("next", "Ines Aalto", "--json").json
    assert found["next"]["work_on"]["fault"] == "breath-late"
    assert found["verdict"] == club("scan", "--json", "--only", "plateau").json["swimmers"][0]["verdict"]


def test_a_cue_that_brought_the_fault_about_is_to_stop(club: Cli) -> None:
    found = club("next", "Yusuf Caldecott", "--json").json
    assert found["next"]["work_on"]["stop_cues"] == ["roll more, a rib in the air"]
    assert {"provoked", "strokes"} <= {ground["code"] for ground in found["link_grounds"]}
    strokes = next(ground for ground in found["link_grounds"] if ground["code"] == "strokes")
    assert strokes["witness"] == "strokes longer"


def test_set_paces_come_from_the_latest_css(club: Cli) -> None:
    ran = club("next", "Nguyễn Thảo Vy")
    assert "CSS 1:4" in ran.out
    assert "100 m\t" in ran.out


def test_the_coach_s_choice_is_kept_with_its_reason_and_undone(club: Cli) -> None:
    chosen = club("next", "Ines Aalto", "--choose", STOPS, "--reason", "race in July", "--json").json
    assert chosen["next"]["work_on"]["fault"] == STOPS
    assert chosen["next"]["work_on"]["reasons"][0]["why"] == "race in July"
    assert club("next", "Ines Aalto", "--json").json["next"]["work_on"]["fault"] == STOPS
    assert club("undo").code == 0
    assert club("next", "Ines Aalto", "--json").json["next"]["work_on"]["fault"] == "breath-late"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "give the swimmer's NAME"),
        (("Nobody Here",), "no swimmer is called"),
        (("Ines Aalto", "--choose", "kick-hard"), "give --reason"),
        (("Ines Aalto", "--choose", "kick-herd", "--reason", "x"), "did you mean kick-hard"),
        (("Ines Aalto", "--choose", "entry-crossing", "--reason", "x"), "no uncorrected entry-crossing"),
        (("Ines Aalto", "--reason", "x"), "go with --choose"),
        (("--stagger", "--choose", "kick-hard"), "give one of them"),
        (("Dario Wexler", "--stagger"), "nobody to draw"),
    ],
)
def test_what_makes_no_sense_is_refused_in_one_line(club: Cli, words: tuple[str, ...], says: str) -> None:
    ran = club("next", *words)
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err
    assert ran.err.count("\n") == 1


def test_a_draw_tells_its_power_first_is_kept_and_is_never_drawn_again(club: Cli) -> None:
    ran = club("next", "--stagger", "--seed", "3")
    assert ran.code == 0
    assert "the smallest effect this draw can show" in ran.err
    assert "the draw is stored; slackwater undo takes it back" in ran.err
    assert "and store it (undo takes it back)" in " ".join(club("next", "--help").out.split())
    rows = [line.split("\t") for line in ran.out.splitlines()[1:]]
    arms = [row[2] for row in rows]
    assert abs(arms.count("now") - arms.count("later")) <= 1
    again = club("next", "--stagger")
    drawn = {(row[0], row[1]) for row in rows}
    assert again.code == 2 or not drawn & {tuple(line.split("\t")[:2]) for line in again.out.splitlines()}
    later = next(row for row in rows if row[2] == "later")
    found = club("next", later[0], "--json").json["next"]
    assert "drawn_later" in {left["why"]["code"] for left in found["leave"]}


def test_effects_claim_nothing_from_too_few_cases(club: Cli) -> None:
    ran = club("effects")
    assert ran.code == 0
    assert "Not known yet: " in ran.out
    assert "A before and after alone shows nothing" in ran.err
    one = club("effects", "entry-crossing")
    assert "not known (too few cases)" in one.out
    assert "No correction, cue or drill" in club("effects", "kick-hard").out
    assert "did you mean" in club("effects", "entry-crosing").err
    effects = club("effects", "--json").json["effects"]
    assert all(effect["gain_pct_per_month"] is not None or effect["missing"] for effect in effects)


def test_the_loop_from_the_first_look_to_the_next_aim(ines: Cli) -> None:
    """Review, open, work, drill, look again, correct, next: lived through on the command line."""
    look = ("review", "Ines Aalto", "--by", "Maud", "--score", "breathing=2", "--fault", "breath-late:left=3")
    assert ines(*look, "--date", "2026-04-01").code == 0
    step = ines("next", "Ines Aalto", "--json").json["next"]
    assert (step["work_on"]["fault"], step["work_on"]["state"]) == ("breath-late", "open")
    assert (
        ines("fault", "Ines Aalto", "work", "breath-late", "--date", "2026-05-01", "--by", "Maud").code == 0
    )
    assert (
        ines(
            "drill", "Ines Aalto", "start", "side kick", "--fault", "breath-late", "--date", "2026-05-01"
        ).code
        == 0
    )
    step = ines("next", "Ines Aalto", "--json").json["next"]
    assert (step["work_on"]["state"], step["work_on"]["drill"]) == ("in work", "side kick")
    again = (
        "review",
        "Ines Aalto",
        "--by",
        "Maud",
        "--score",
        "breathing=4",
        "--corrected",
        "breath-late:left",
    )
    assert ines(*again, "--date", "2026-06-20").code == 0
    step = ines("next", "Ines Aalto", "--json").json["next"]
    assert step["work_on"] is None
    assert [reason["code"] for reason in step["reasons"]] == ["nothing_on_record"]
    effects = ines("effects", "breath-late", "--json").json["effects"]
    assert [(effect["kind"], effect["tried"]) for effect in effects] == [("correction", 1), ("drill", 1)]


def test_no_test_is_called_for_on_any_list_while_an_illness_is_open(
    ines: Cli, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Scan, why, next, both pages and JSON agree; the lists tell nothing of why."""
    ines("log", "Ines Aalto", "t400", "7:20", "--date", "2026-06-01")
    assert "due since 8 June" in ines("why", "Ines Aalto").out
    assert "one test due" in ines("scan").err
    monkeypatch.setenv("SLACKWATER_HEALTH", "true")
    assert ines("event", "Ines Aalto", "illness", "--from", "2026-06-20").code == 0
    scan = ines("scan")
    assert "nothing due" in scan.err
    assert scan.out.splitlines()[-1].split("\t")[-1] == ""
    assert ines("scan", "--json").json["swimmers"][0]["due"] == {"test": None, "review": None}
    assert "Next test: none for now; what is logged on health holds it back." in ines("why", "Ines Aalto").out
    assert "Next test: none for now" in ines("next", "Ines Aalto").out
    found = ines("next", "Ines Aalto", "--json").json["next"]
    assert (found["test"], found["test_held"]) == (None, True)
    for whose in (("Ines Aalto",), ("--all", "--roster")):
        assert ines("page", *whose, "--month", "2026-06", "--format", "txt").code == 0
    pages = [path.read_text() for path in (home / "reports" / "2026-06").glob("*.txt")]
    assert any("Next test: none for now" in page for page in pages)
    assert any("A test: nobody." in page for page in pages)
    lists = [scan.out, scan.err, *(page for page in pages if "A test: nobody." in page)]
    assert not any(word in text.casefold() for word in ("illness", "break", "caution") for text in lists)
    monkeypatch.delenv("SLACKWATER_HEALTH")
    assert "due since 8 June" in ines("why", "Ines Aalto").out
    assert "one test due" in ines("scan").err


def test_what_is_parked_after_it_was_chosen_is_left_and_chosen_again_it_is_worked_on(ines: Cli) -> None:
    """All on one day: the last word holds."""
    choose = ("next", "Ines Aalto", "--choose", "kick-knees", "--reason", "try it")
    park = ("fault", "Ines Aalto", "park", "kick-knees", "--reason", "race in March")
    ines("fault", "Ines Aalto", "open", "kick-knees", "--date", "2026-06-01")
    assert "Work on: kick from the knees (open)" in ines(*choose).out
    assert ines(*park).code == 0
    assert "Leave: kick from the knees (parked): " in ines("next", "Ines Aalto").out
    assert "Work on: kick from the knees (parked)" in ines(*choose).out


def test_the_next_look_stays_four_weeks_after_the_last_whatever_the_day(ines: Cli) -> None:
    """Of a fault in work; of an open one alone no command asks for a look, `next` no more than the lists."""
    seen = ("review", "Ines Aalto", "--by", "Maud", "--fault", "breath-late=2", "--date", "2025-11-14")
    assert ines(*seen, "--as-of", "2025-11-14").code == 0
    days = ("2025-11-14", "2025-12-20", "2026-06-01")
    for as_of in days:
        assert "Next look" not in ines("next", "Ines Aalto", "--as-of", as_of).out
        assert ines("scan", "--json", "--as-of", as_of).json["swimmers"][0]["due"]["review"] is None
    ines("fault", "Ines Aalto", "work", "breath-late", "--date", "2025-11-14")
    late = ("12 December; every 28 days", "12 December (8 days late)", "12 December 2025 (171 days late)")
    for command in ("next", "why"):
        for as_of, says in zip(days, late, strict=True):
            assert says in ines(command, "Ines Aalto", "--as-of", as_of).out
    assert ines("scan", "--json").json["swimmers"][0]["due"]["review"] == "2025-12-12"
    assert "one test and one look due" in ines("scan").err
