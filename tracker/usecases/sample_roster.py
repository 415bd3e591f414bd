"""Which swimmers of a big roster to learn from: some hundreds say all that a prior can hold."""

from __future__ import annotations

from zlib import crc32

from tracker.store.reading import Reader


def sample_roster(reader: Reader, size: int) -> list[str]:
    """Return the labels of at most `size` active swimmers, in order.

    The choice goes by a checksum of the label: as good as drawn, the same on every machine, and a
    swimmer who joins changes at most one of it.
    """
    labels = reader.labels()
    if len(labels) <= size:
        return labels
    return sorted(sorted(labels, key=lambda label: (crc32(label.encode()), label))[:size])
