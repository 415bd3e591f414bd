"""Keep what is told: by a page, by a summary, by marking a swimmer or a whole roster as seen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tracker.app.executor import IN_PROCESS, Executor
from tracker.app.scan import scan
from tracker.app.session import Session
from tracker.errors import UsageError
from tracker.model.swimmer import Choice
from tracker.model.told import Told
from tracker.model.vocabularies import ChoiceKind, ToldBy
from tracker.output.sentences.numbers import count
from tracker.store.writing import Writer
from tracker.technique.attention import RosterLine
from tracker.technique.told import told_of


def tell(session: Session, told: Sequence[Told], what: str) -> None:
    """Keep what a page or a summary told; the history says `what`.

    A record that can only be read stays as it is: the page is made all the same.
    """
    if not told or session.store.read_only_reason is not None:
        return
    with session.write(what) as writer:
        writer.add(_untold(writer, told))


def mark_seen(session: Session, line: RosterLine) -> None:
    """Note that somebody saw this line, and what it told them.

    Raises
    ------
    UsageError
        If there is no verdict to see.
    """
    told = told_of(line, session.today, ToldBy.SEEN, session.who)
    if told is None:
        raise UsageError(f"{line.swimmer} has no verdict yet; log tests first")
    with session.write(f"mark {told.verdict} of {line.swimmer} as seen") as writer:
        writer.add([_choice(session, told), *_untold(writer, [told])])


def mark_all_seen(
    session: Session, *, group: str | None = None, executor: Executor = IN_PROCESS
) -> list[Told]:
    """Note that somebody saw the whole roster, or a group of it, and return what it told them.

    Raises
    ------
    UsageError
        If nobody has a verdict to see.
    """
    lines = scan(session, group=group, executor=executor)
    told = {line.swimmer: told_of(line, session.today, ToldBy.SEEN, session.who) for line in lines}
    seen = [one for one in told.values() if one is not None]
    if not seen:
        raise UsageError("nobody has a verdict yet; log tests first")
    new = {line.swimmer for line in lines if line.new}
    with session.write(f"mark the verdicts of {count(len(seen), 'swimmer')} as seen") as writer:
        choices = [_choice(session, one) for one in seen if one.swimmer in new]
        writer.add([*choices, *_untold(writer, seen)])
    return seen


def _choice(session: Session, told: Told) -> Choice:
    return Choice(
        date=session.today, swimmer=told.swimmer, kind=ChoiceKind.SEEN, value=told.verdict, by=session.who
    )


def _untold(writer: Writer, told: Sequence[Told]) -> list[Told]:
    """Return what was not told already: one word is kept once for a swimmer, a day and who was told."""
    days = tuple({one.date for one in told})
    known = {_key(row.record) for row in writer.all(Told, date=days)}
    new: dict[tuple[object, ...], Told] = {}
    for one in told:
        if _key(one) not in known:
            new.setdefault(_key(one), one)
    return list(new.values())


def _key(told: Told) -> tuple[object, ...]:
    """Return what is kept once; a page is told to whoever reads it, not to who made it."""
    return told.date, told.swimmer, told.verdict, told.where, told.who if told.where is ToldBy.SEEN else ""


def told_by(lines: Iterable[RosterLine], session: Session, where: ToldBy) -> list[Told]:
    """Return what lines tell by a page or a summary of the day that they are about."""
    found = (told_of(line, line.verdict.as_of, where, session.who) for line in lines if line.verdict)
    return [one for one in found if one is not None]
