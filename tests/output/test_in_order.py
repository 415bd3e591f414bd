"""Texts come out in the order of their keys, the same whether they were held or written out."""

from __future__ import annotations

import errno
import os
import random
from pathlib import Path

import pytest

from tracker.errors import SlackwaterError
from tracker.output import in_order
from tracker.output.in_order import InOrder


@pytest.mark.parametrize("plenty", [0, 300, 1_000_000])
def test_texts_come_in_the_order_of_their_keys_whole(plenty: int, monkeypatch) -> None:
    monkeypatch.setattr(in_order, "PLENTY", plenty)
    told = {((number % 3, 0), f"Zoë {number:02d}"): f"{number} 李 é\t" * number for number in range(40)}
    coming = list(told)
    random.Random(4).shuffle(coming)  # noqa: S311
    with InOrder() as texts:
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
        with InOrder() as texts:
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
        InOrder().add(1, "a text too long")


def test_nothing_is_left_in_the_folder(tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setattr(in_order, "PLENTY", 10)
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    with InOrder() as texts:
        for number in range(9):
            texts.add(-number, f"text {number}")
            assert list(tmp_path.iterdir()) == []
        assert list(texts) == [f"text {number}" for number in range(8, -1, -1)]
