"""Personal data: consents heeded, one person out in full, one person gone without a trace."""

from __future__ import annotations

import csv
import json
import os
import sqlite3
import stat
from pathlib import Path

import pytest

from tests.cli.conftest import Cli
from tests.store.test_erasing import hits
from tracker.tui.drafts import Drafts, draft_name

ZOE = "Zoë Kvist"
SHARE = Path(".local/share/slackwater")
STATE = Path(".local/state/slackwater")
CACHE = Path(".cache/slackwater")


@pytest.fixture
def club(cli: Cli) -> Cli:
    """Two swimmers, of whom Zoë has an entry of every kind, with a word of its own in every text."""
    for name in ("Bo Dahl", ZOE):
        group = f"canary-group-{name[:2]}"
        assert cli("swimmer", "add", name, "--group", group, "--born", "1988").code == 0
        assert cli("log", name, "css", "6:40", "3:10", "--note", f"canary-swim-{name}").code == 0
    assert cli("swimmer", "edit", ZOE, "--note", "canary-note", "--target-pace", "1:35").code == 0
    look = ("--by", "canary-reviewer", "--score", "breathing=2", "--fault", "breath-late:left=2")
    assert cli("review", ZOE, *look, "--clip", "canary-clip", "--note", "canary-look").code == 0
    assert cli("fault", ZOE, "park", "breath-late", "--side", "left", "--reason", "canary-park").code == 0
    assert cli("cue", ZOE, "start", "canary-cue", "--date", "2026-06-01").code == 0
    assert cli("drill", ZOE, "start", "canary-drill", "--per-week", "2").code == 0
    assert cli("event", ZOE, "layoff", "--from", "2026-05-02", "--note", "canary-event").code == 0
    assert cli("load", ZOE, "2026-06-22", "--metres", "7800").code == 0
    consent = ("--ground", "canary-ground", "--how", "canary-how", "--text-version", "canary-text")
    assert cli("swimmer", "consent", ZOE, "add", "--for", "pages", *consent).code == 0
    assert cli("seen", ZOE).code == 0
    assert cli("swim", "aside", "3", "--reason", "canary-aside").code == 0
    assert cli("swim", "delete", "4", "--yes").code == 0
    return cli


def test_a_consent_is_added_withdrawn_and_listed(ines: Cli) -> None:
    """Ground, what for, by whom, when, how, text version, withdrawn on."""
    flags = ("--ground", "club membership", "--by", "guardian", "--how", "on paper", "--text-version", "2")
    added = ines("swimmer", "consent", "Ines Aalto", "add", "--for", "pages", *flags, "--until", "2027-06-30")
    assert added.code == 0
    kept = ines("swimmer", "consent", "Ines Aalto", "--json").json["consents"][0]
    assert {**kept, "id": 0} == {
        "id": 0,
        "date": "2026-06-30",
        "swimmer": "Ines Aalto",
        "purpose": "pages",
        "ground": "club membership",
        "given_by": "guardian",
        "how": "on paper",
        "text_version": "2",
        "until": "2027-06-30",
        "withdrawn": None,
    }
    assert ines("swimmer", "consent", "--json").json["consents"][0]["pages"] == "given"
    later = ines("--as-of", "2027-07-01", "swimmer", "consent", "--json").json
    assert later["consents"][0]["pages"] == "ended"
    ran = ines("swimmer", "consent", "Ines Aalto", "--for", "record")
    assert ran.code == 2
    assert "write 'add' after the name" in ran.err
    assert ines("swimmer", "consent", "Ines Aalto", "withdraw", "--for", "pages").code == 0
    assert "withdrawn" in ines("swimmer", "consent").out
    again = ines("swimmer", "consent", "Ines Aalto", "withdraw", "--for", "pages")
    assert "already" in again.err
    assert ines("undo").code == 0
    assert ines("swimmer", "consent", "--json").json["consents"][0]["pages"] == "given"


@pytest.mark.parametrize(
    "words",
    [
        ("add",),
        ("add", "--for", "everything"),
        ("add", "--for", "pages", "--by", "friend"),
        ("add", "--for", "pages", "--date", "2027-01-01"),
        ("add", "--for", "pages", "--until", "2026-01-01"),
        ("withdraw",),
        ("withdraw", "--for", "pages", "--how", "by mail"),
        ("sell", "--for", "pages"),
    ],
)
def test_a_wrong_consent_is_refused(ines: Cli, words: tuple[str, ...]) -> None:
    ran = ines("swimmer", "consent", "Ines Aalto", *words)
    assert ran.code == 2
    assert ran.err.count("\n") == 1
    assert ines("swimmer", "consent", "Ines Aalto", "--json").json["consents"] == []


def test_a_minor_who_consents_alone_is_remarked_upon(cli: Cli) -> None:
    """Known from the year of birth; no full date of birth is taken."""
    assert cli("swimmer", "add", "Kim", "--born", "2012-05-04").code == 2
    assert cli("swimmer", "add", "Kim", "--born", "2012").code == 0
    assert "guardian" in cli("swimmer", "consent", "Kim", "add", "--for", "clips").err
    assert "guardian" not in cli("swimmer", "consent", "Kim", "add", "--for", "clips", "--by", "guardian").err
    assert cli("swimmer", "consent", "--json").json["consents"][0]["minor"] is True


def test_a_withdrawn_consent_blocks_pages_and_the_rest_is_made(club: Cli) -> None:
    """The batch skips who has withdrawn, exit 3, the reason listed."""
    words = ("page", "--all", "--month", "2026-06", "--format", "txt")
    assert club(*words).code == 0
    assert club("swimmer", "consent", ZOE, "withdraw", "--for", "pages").code == 0
    ran = club(*words)
    assert ran.code == 3
    assert f"{ZOE}: the consent for pages was withdrawn" in ran.err
    assert "bo-dahl" in ran.out
    assert club("swimmer", "consent", ZOE, "add", "--for", "pages").code == 0
    assert club(*words).code == 0


def test_a_withdrawn_consent_to_be_on_record_blocks_every_new_entry(club: Cli) -> None:
    assert club("swimmer", "consent", ZOE, "withdraw", "--for", "record").code == 0
    for words in (
        ("log", ZOE, "t400", "6:40"),
        ("review", ZOE, "--score", "breathing=3"),
        ("fault", ZOE, "open", "kick-wide"),
        ("cue", ZOE, "start", "tall"),
        ("event", ZOE, "race"),
        ("load", ZOE, "2026-06-22", "--metres", "1"),
    ):
        ran = club(*words)
        assert ran.code == 2, words
        assert "withdrawn" in ran.err
    Path("more.csv").write_text("date,swimmer,test,time\n2026-06-29,Zoë Kvist,t400,6:40\n", encoding="utf-8")
    assert "withdrawn" in club("import", "more.csv").err
    assert club("swimmer", "consent", ZOE, "add", "--for", "record").code == 0
    assert club("log", ZOE, "t400", "6:41").code == 0


def test_an_export_holds_every_table_and_every_text(club: Cli, home: Path) -> None:
    """Every table that names a swimmer appears, a canary in each text is found."""
    assert club("swimmer", "export", ZOE, "out/zoe").code == 0
    folder = home / "out" / "zoe"
    told = json.loads((folder / "person.json").read_text(encoding="utf-8"))
    raw = sqlite3.connect(home / SHARE / "slackwater.db")
    tables = [name for (name,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    columns = {name: [row[1] for row in raw.execute(f"PRAGMA table_info({name})")] for name in tables}
    raw.close()
    assert {name for name in tables if "swimmer" in columns[name]} == set(told["tables"])
    assert all(told["tables"].values())
    words = "group-Zo note reviewer clip look park cue drill event ground how text aside swim-Zoë"
    canaries = {f"canary-{word}" for word in words.split()}
    whole = (folder / "person.json").read_text(encoding="utf-8")
    assert {canary for canary in canaries if canary not in whole} == set()
    csvs = "".join(path.read_text(encoding="utf-8") for path in folder.glob("*.csv"))
    assert {canary for canary in canaries if canary not in csvs} == set()
    away = [kept["row"] for kept in told["kept_for_undo"] if kept["table"] == "swim" and "row" in kept]
    assert [row["time_s"] for row in away] == [190.0], "a deleted swim is still held, for undo"
    assert told["verdict"]["verdict"] == "too early"
    assert "Bo Dahl" not in whole + csvs
    summary = (folder / "summary.txt").read_text(encoding="utf-8")
    for title in ("What is held, and why", "Who sees it", "How long", "Consents", "What you can ask for"):
        assert title in summary
    assert f"Worked out: {ZOE}" in summary


def test_an_export_is_its_owners_alone_and_replaces_nothing_unasked(club: Cli, home: Path) -> None:
    """0600 and 0700 under any umask (CWE-276); --force replaces."""
    before = os.umask(0)
    try:
        assert club("swimmer", "export", ZOE, "zoe").code == 0
    finally:
        os.umask(before)
    folder = home / "zoe"
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert {stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()} == {0o600}
    held = {path.name: path.read_bytes() for path in folder.iterdir()}
    again = club("swimmer", "export", ZOE, "zoe")
    assert again.code == 2
    assert "--force" in again.err
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == held
    assert club("swimmer", "export", ZOE, "zoe", "--force").code == 0
    assert [path.name for path in home.iterdir() if ".part" in path.name] == []


def test_an_export_imports_into_a_fresh_database(club: Cli, home: Path) -> None:
    assert club("swimmer", "export", ZOE, "zoe").code == 0
    assert club("--db", "fresh.db", "import", "zoe").code == 0
    assert club("--db", "fresh.db", "swimmer", "export", ZOE, "again").code == 0
    for path in (home / "zoe").glob("*.csv"):
        if path.name != "history.csv":
            assert path.read_bytes() == (home / "again" / path.name).read_bytes()


def test_health_is_in_a_persons_copy_only_where_asked_for(club: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    """In no export unless switched on; the person is told that it is held."""
    monkeypatch.setenv("SLACKWATER_HEALTH", "true")
    assert club("event", ZOE, "injury", "--from", "2026-06-01", "--note", "canary-shoulder").code == 0
    ran = club("swimmer", "export", ZOE, "without")
    assert "1 event about health" in ran.err
    assert "1 event about health" in Path("without/summary.txt").read_text(encoding="utf-8")
    whole = "".join(path.read_text(encoding="utf-8") for path in Path("without").iterdir())
    assert "injury" not in whole
    assert "canary-shoulder" not in whole
    assert club("swimmer", "export", ZOE, "with", "--health").code == 0
    assert "canary-shoulder" in Path("with/events.csv").read_text(encoding="utf-8")


def test_formulas_in_the_log_of_changes_are_text(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    """OWASP, CSV injection; CWE-1236."""
    monkeypatch.setenv("SLACKWATER_WHO", "=8-3")
    assert cli("swimmer", "add", "Kim").code == 0
    assert cli("swimmer", "export", "Kim", "kim").code == 0
    with Path("kim/history.csv").open(encoding="utf-8", newline="") as stream:
        assert next(csv.DictReader(stream))["who"] == "'=8-3"


def drafts_caches_and_logs(home: Path) -> None:
    """Leave what the screens leave: drafts, kept rows, what was copied, a log."""
    drafts = Drafts(home / STATE / "drafts")
    drafts.keep(draft_name("log-test", ZOE), {"time": "6:40"})
    drafts.keep("log-squad", {"names": f"Bo Dahl, {ZOE}"})
    drafts.keep(draft_name("log-test", "Bo Dahl"), {"time": "6:50"})
    (home / STATE / "copied.txt").write_text(f"{ZOE}: plateau\n", encoding="utf-8")
    (home / STATE / "screens.log").write_text(f"one\ntwo {ZOE} x\nthree\n", encoding="utf-8")
    (home / CACHE).mkdir(mode=0o700, parents=True, exist_ok=True)
    (home / CACHE / "roster-1.json").write_text(
        json.dumps({"form": 1, "rows": [["x", [ZOE]]]}), encoding="utf-8"
    )


def test_an_erased_swimmer_leaves_no_trace(club: Cli, home: Path) -> None:
    """Database, -wal, -shm, drafts, caches and logs, five encodings and more."""
    drafts_caches_and_logs(home)
    folders = [home / SHARE, home / STATE, home / CACHE]
    assert all(hits(folder, ZOE) for folder in folders), "the search finds what is there"
    bo = {kind: club(*words).out for kind, words in _ABOUT_BO.items()}
    ran = club("swimmer", "erase", "zoë kvist", "--yes", "--json")
    assert ran.code == 0, ran.err
    assert ran.json["wiped"] is True
    assert [hits(folder, ZOE) for folder in folders] == [[], [], []]
    assert not list((home / STATE / "drafts").glob("*squad*"))
    assert Drafts(home / STATE / "drafts").load(draft_name("log-test", "Bo Dahl")) == {"time": "6:50"}
    assert Drafts(home / STATE / "drafts").load(draft_name("log-test", ZOE)) is None
    assert (home / STATE / "screens.log").read_text(encoding="utf-8") == "one\nthree\n"
    assert {kind: club(*words).out for kind, words in _ABOUT_BO.items()} == bo
    assert "no swimmer is called" in club("swimmer", "show", ZOE).err
    last = club("history", "--last", "1", "--json").json["history"][0]
    assert (last["what"], last["who"], last["state"], last["swimmers"]) == (
        "erase a swimmer",
        "Maud",
        "final",
        [],
    )
    assert club("check").code == 0


_ABOUT_BO = {
    "swims": ("swims", "Bo Dahl", "--json"),
    "show": ("swimmer", "show", "Bo Dahl", "--json"),
    "history": ("history", "Bo Dahl", "--json"),
    "why": ("why", "Bo Dahl", "--json"),
}


def test_erasing_asks_first_and_a_dry_run_changes_nothing(club: Cli, home: Path) -> None:
    drafts_caches_and_logs(home)
    before = club("swimmer", "show", ZOE, "--json").json
    dry = club("swimmer", "erase", ZOE, "--dry-run", "--json").json
    assert dry["rows"]["swim"] == 1
    assert dry["wiped"] is None
    assert len(dry["files"]) == 5
    told = club("swimmer", "erase", ZOE, "--dry-run").out.splitlines()
    assert told[0].endswith(f": {sum(dry['rows'].values())} entries")
    assert "  changes in the history: " in "\n".join(told)
    assert "history swimmer" not in "\n".join(told)
    asked = club("swimmer", "erase", ZOE)
    assert asked.code == 2
    assert "cannot be undone" in asked.err
    assert "--yes" in asked.err
    assert club("swimmer", "show", ZOE, "--json").json == before
    assert (home / STATE / "copied.txt").exists()
    assert club("swimmer", "erase", "Nobody", "--yes").code == 2
    assert club("swimmer", "erase", "--yes").code == 2


def test_what_is_out_of_reach_is_listed(club: Cli, home: Path) -> None:
    """Known backups and exports with their dates; pages still there."""
    assert club("page", ZOE, "--month", "2026-06", "--format", "txt").code == 0
    assert club("export", "everybody").code == 0
    assert club("backup", "copy.db").code == 0
    assert club("swimmer", "export", ZOE, "zoe-kvist").code == 0
    assert (
        "out of reach: pages in other folders than reports" in club("swimmer", "erase", ZOE, "--dry-run").err
    )
    told = club("swimmer", "erase", ZOE, "--yes", "--json").json
    assert [Path(place).name for place in told["pages_left"]] == ["2-zoe-kvist-2026-06.txt"]
    assert {(one["kind"], Path(one["place"]).name, one["holds"]) for one in told["copies_left"]} == {
        ("export", "everybody", None),
        ("backup", "copy.db", True),
        ("export", "zoe-kvist", None),
    }
    assert all(one["at"].startswith("2026-06-30") for one in told["copies_left"])
    assert hits(home / SHARE, "zoe-kvist") == []


def test_a_restored_backup_does_not_bring_the_erased_back(club: Cli, home: Path) -> None:
    """Restore applies the tombstones by itself."""
    assert club("backup", "copy.db").code == 0
    assert club("swimmer", "erase", ZOE, "--yes").code == 0
    assert club("restore", "copy.db", "--yes").code == 0
    assert [one["swimmer"] for one in club("swimmer", "list", "--json").json["swimmers"]] == ["Bo Dahl"]
    assert [found for found in hits(home / SHARE, ZOE) if "before-restore" not in found[0]] == []


def test_the_inactive_are_listed_and_nothing_is_erased(club: Cli) -> None:
    assert club("swimmer", "retention", "--json").json["inactive"] == []
    later = club("--as-of", "2029-08-01", "swimmer", "retention", "--json").json["inactive"]
    assert [(one["swimmer"], one["last"]) for one in later] == [
        ("Bo Dahl", "2026-06-30"),
        (ZOE, "2026-06-30"),
    ]
    assert club("--as-of", "2026-10-01", "swimmer", "retention", "--older-than", "90d").out.count("\n") == 3
    assert club("--as-of", "2026-10-01", "swimmer", "retention", "--older-than", "18m").out.count("\n") == 1
    assert club("swimmer", "consent", "Bo Dahl", "withdraw", "--for", "record").code == 0
    assert club("swimmer", "retention", "--json").json["inactive"][0]["consent_gone"] is True
    assert len(club("swimmer", "list", "--json").json["swimmers"]) == 2


@pytest.mark.parametrize("age", ["3", "y", "0y", "-1y", "3 years", "1e3d", "٣y", "999999y", "99999y"])
def test_an_age_that_is_none_is_refused(ines: Cli, age: str) -> None:
    ran = ines("swimmer", "retention", f"--older-than={age}")
    assert ran.code == 2
    assert "is no age" in ran.err


def test_a_label_alone_is_enough(cli: Cli) -> None:
    """What is asked for by default is a label, and no personal field besides."""
    assert cli("swimmer", "add", "S-17").code == 0
    told = cli("swimmer", "show", "S-17", "--json").json
    personal = ("swimmer", "group", "born", "target_pace", "target_date", "note")
    assert [name for name in personal if told[name]] == ["swimmer"]


def test_an_erasure_beside_an_open_database_is_finished_later(
    club: Cli, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An erased name stays in the log file while somebody reads an older state."""
    monkeypatch.setattr("tracker.store.erasing._TIMEOUT_S", 0.2)
    other = sqlite3.connect(home / SHARE / "slackwater.db", isolation_level=None)
    other.execute("BEGIN")
    other.execute("SELECT count(*) FROM swim").fetchone()
    ran = club("swimmer", "erase", ZOE, "--yes")
    assert ran.code == 3
    assert "--wipe" in ran.err
    assert club("swimmer", "erase", "--wipe").code == 3
    other.close()
    assert club("swimmer", "erase", "--wipe").code == 0
    assert hits(home / SHARE, ZOE) == []
