"""One action on several swimmers: verdicts seen as one change, a folder for each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from tracker.app.export_swimmer import PersonExport, export_swimmer
from tracker.app.session import Session
from tracker.errors import UsageError
from tracker.model.swimmer import Choice
from tracker.model.vocabularies import ChoiceKind
from tracker.output.pages.file_names import slug
from tracker.output.sentences.numbers import count
from tracker.remedies import NO_SHELL, Wording


def mark_several_seen(session: Session, words: Mapping[str, str]) -> None:
    """Note that somebody saw these verdicts, by label; as one change.

    Raises
    ------
    UsageError
        If none of them has a verdict.
    """
    seen = {label: word for label, word in words.items() if word}
    if not seen:
        raise UsageError("there is no verdict to mark as seen; log tests first")
    what = f"mark the verdicts of {count(len(seen), 'swimmer')} as seen"
    if len(seen) == 1:
        ((label, word),) = seen.items()
        what = f"mark {word} of {label} as seen"
    with session.write(what) as writer:
        writer.add(
            [
                Choice(date=session.today, swimmer=label, kind=ChoiceKind.SEEN, value=word, by=session.who)
                for label, word in seen.items()
            ]
        )


def export_several(
    session: Session, names: Sequence[str], folder: Path, *, wording: Wording = NO_SHELL
) -> tuple[PersonExport, ...]:
    """Write a folder of each person, under one; health stays out.

    Raises
    ------
    UsageError
        If a file is there already; the folders before it stay.
    SlackwaterError
        If a file cannot be written.
    """
    taken: dict[str, int] = {}
    found = []
    for name in names:
        stem = slug(name) or "swimmer"
        taken[stem] = taken.get(stem, 0) + 1
        place = folder / (stem if taken[stem] == 1 else f"{stem}-{taken[stem]}")
        found.append(export_swimmer(session, name, place, wording=wording))
    return tuple(found)
