from __future__ import annotations

from tracker.model.vocabularies import DamagedPart
from tracker.output.sentences.data import trouble_sentence


def test_each_kind_of_trouble_is_named_once_with_what_to_type():
    parts = [DamagedPart.FILE, DamagedPart.FILE, DamagedPart.HEADER, DamagedPart.TABLES]
    said = trouble_sentence([*parts, "/x/c.db", "/x/c.db-wal"], "slackwater check")
    assert said == (
        "Something is wrong with this record: parts of its file are damaged, its mark or version is not what "
        "it should be, its tables are not as slackwater made them and others can read it. "
        "Leave (ctrl+q) and type: slackwater check"
    )


def test_nothing_wrong_says_nothing():
    assert trouble_sentence([], "slackwater check") == ""
