"""Texts come out in the order of their keys, the same whether they were held or written out."""

from __future__ import annotations

import errno
import io
import os
import random
from pathlib import Path

import pytest

from tracker.errors import SlackwaterError
from tracker.output import sorted_output as in_order
from tracker.output.sorted_output import SortedOutput


@pytest.mark.parametrize("plenty", [0, 300, 1_000_000])
def test_texts_come_in_the_order_of_their_keys_whole(plenty: int, monkeypatch) -> None:
    monkeypatch.setattr(in_order, "PLENTY", plenty)
    told = {((number % 3, 0), f"Zoë {number:02d}"): f"{number} 李 é\t" * number for number in range(40)}
    coming = list(told)
    random.Random(4).shuffle(coming)  # noqa: S311
    with SortedOutput() as texts:
        for key in coming:
            texts.add(key, told[key])
        assert len(texts) == 40
        assert list(texts) == [told[key] for key in sorted(told)]
        assert list(texts) == [told[key] for key in sorted(told)], "more than once"


def test_memory_does_not_grow_with_the_texts(monkeypatch) -> None:
    import tracemalloc

    monkeypatch.setattr(in_order, "PLENTY", 500_000)
    most = []
    for count in (1_000, 10_000):
        tracemalloc.start()
        with SortedOutput() as texts:
            for number in range(count):
                texts.add(((number * 7) % 100, f"{number}"), f'"swimmer": {number:05}, "verdict": "x" ' * 30)
            assert sum(len(text) for text in texts) == 990 * count
        most.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert most[1] < 2 * most[0]


def test_no_room_is_said_in_one_line(monkeypatch) -> None:
    monkeypatch.setattr(in_order, "PLENTY", 10)

    def full() -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("tempfile.TemporaryFile", full)
    with pytest.raises(SlackwaterError, match=r"so long a roster in .*: No space left on device; make room"):
        SortedOutput().add(1, "a text too long")


def test_a_disk_that_fills_up_meanwhile_is_said_in_one_line(monkeypatch) -> None:
    class Full(io.RawIOBase):
        def writable(self) -> bool:
            return True

        def seekable(self) -> bool:
            return True

        def tell(self) -> int:
            return 0

        def write(self, _block: object) -> int:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(in_order, "PLENTY", 10)
    monkeypatch.setattr("tempfile.TemporaryFile", lambda: io.BufferedWriter(Full()))
    with pytest.raises(SlackwaterError, match="No space left on device; make room"), SortedOutput() as texts:
        texts.add(1, "a text too long")


def test_no_folder_for_the_file_is_said_in_one_line(monkeypatch) -> None:
    monkeypatch.setattr(in_order, "PLENTY", 10)
    monkeypatch.setattr("tempfile.tempdir", None)
    monkeypatch.setattr("tempfile._candidate_tempdir_list", lambda: ["/nowhere"])
    with pytest.raises(SlackwaterError, match="so long a roster in a temporary folder: No usable"):
        SortedOutput().add(1, "a text too long")


def test_odd_texts_and_keys_come_back_as_they_were(monkeypatch) -> None:
    monkeypatch.setattr(in_order, "PLENTY", 10)
    texts = ["a\nb\r\n", "\ud800", "\u2028\u2029\x85\x00", "", '"\\', "x" * 40_000]
    labels = ["b\n", "a\ud800", "\u2028", "", '"', "b"]
    with SortedOutput() as held:
        for label, one in zip(labels, texts, strict=True):
            held.add((1, label), one)
        assert list(held) == [one for _, one in sorted(zip(labels, texts, strict=True))]


def test_nothing_is_left_in_the_folder(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr(in_order, "PLENTY", 10)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with SortedOutput() as texts:
        for number in range(9):
            texts.add(-number, f"text {number}")
            assert list(tmp_path.iterdir()) == []
        assert list(texts) == [f"text {number}" for number in range(8, -1, -1)]
