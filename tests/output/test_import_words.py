"""What an import added: every file of a club has its words, one and several."""

from __future__ import annotations

from tracker.model.club_layout import FILES
from tracker.output.sentences.data import KINDS, added_words


def test_every_file_of_a_club_has_words_for_one_row_and_for_several():
    assert {file.stem for file in FILES} == set(KINDS)


def test_one_is_singular_and_nothing_is_said_so():
    assert added_words({"swimmers": 1, "swims": 12, "work": 0}) == "1 swimmer, 12 swims"
    assert added_words({"own_faults": 1, "work": 2, "load": 1}) == (
        "1 fault of the club's own, 2 cues and drills, 1 week of swimming"
    )
    assert added_words({"swims": 0}) == added_words({}) == "nothing new"
