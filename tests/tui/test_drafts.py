from __future__ import annotations

import stat

from tracker.tui.drafts import Drafts


def test_a_draft_comes_back_as_it_was(tmp_path):
    drafts = Drafts(tmp_path / "drafts")
    drafts.keep("log-test", {"swimmer": "Zoë [/]", "time": "6:45"})
    assert Drafts(tmp_path / "drafts").load("log-test") == {"swimmer": "Zoë [/]", "time": "6:45"}
    drafts.drop("log-test")
    assert drafts.load("log-test") is None


def test_only_the_owner_can_read_a_draft(tmp_path):
    drafts = Drafts(tmp_path / "state" / "drafts")
    drafts.keep("log-test", {"swimmer": "Ada"})
    assert stat.S_IMODE((tmp_path / "state" / "drafts" / "log-test.json").stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "state" / "drafts").stat().st_mode) == 0o700


def test_a_torn_draft_is_no_draft(tmp_path):
    (tmp_path / "log-test.json").write_text('{"swimmer": "A', encoding="utf-8")
    assert Drafts(tmp_path).load("log-test") is None
    (tmp_path / "log-test.json").write_text("[1, 2]", encoding="utf-8")
    assert Drafts(tmp_path).load("log-test") is None
