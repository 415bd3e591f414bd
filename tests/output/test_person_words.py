"""Sentences about the data on a person: plain words for whatever holds a name."""

from __future__ import annotations

from tracker.output.sentences.people import ENTRIES, entries_line, mention_words
from tracker.store.persons import TABLES_WITH_SWIMMER
from tracker.store.tables import TABLES


def test_everything_that_can_name_somebody_has_a_plain_name():
    tables = {table.name for table in (*TABLES_WITH_SWIMMER, *TABLES.values())}
    assert tables <= ENTRIES.keys()
    assert not [words for words in ENTRIES.values() if "_" in words]


def test_entries_and_mentions_are_said_in_words():
    assert entries_line("history_swimmer", 9) == "changes in the history: 9"
    assert mention_words("fault_step", "reviewer", 1) == "steps of faults, as the reviewer: 1 entry"
    assert mention_words("swim", "note", 2) == "test swims, in the note: 2 entries"
