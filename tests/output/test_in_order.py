"""Texts come out in the order of their keys, the same whether they were packed or not."""

from __future__ import annotations

import random

import pytest

from tracker.output import in_order
from tracker.output.in_order import InOrder


@pytest.mark.parametrize("plenty", [0, 300, 1_000_000])
def test_texts_come_in_the_order_of_their_keys_whole(plenty: int, monkeypatch) -> None:
    monkeypatch.setattr(in_order, "PLENTY", plenty)
    told = {((number % 3, 0), f"Zoë {number:02d}"): f"{number} 李 é\t" * number for number in range(40)}
    coming = list(told)
    random.Random(4).shuffle(coming)  # noqa: S311
    texts = InOrder()
    for key in coming:
        texts.add(key, told[key])
    assert len(texts) == 40
    assert list(texts) == [told[key] for key in sorted(told)]
    assert list(texts) == [told[key] for key in sorted(told)], "more than once"


def test_much_text_is_held_in_little_memory(monkeypatch) -> None:
    """A roster's JSON says the same words again and again."""
    import tracemalloc

    monkeypatch.setattr(in_order, "PLENTY", 100_000)
    tracemalloc.start()
    try:
        texts = InOrder()
        for number in range(2_000):
            texts.add(number, f'"swimmer": "{number}", "verdict": "plateau", ' * 100)
        held = tracemalloc.get_traced_memory()[0]
    finally:
        tracemalloc.stop()
    assert held < sum(len(text) for text in texts) / 8
