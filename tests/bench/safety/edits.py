"""Random edits against a plain model, undone and redone on the way, and all undone at the end."""

from __future__ import annotations

import datetime as dt
import random
import tempfile
from pathlib import Path
from typing import Any

from tests.bench.safety.logbook import NOW, SCRATCH
from tracker.errors import UsageError
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.database import Store

Model = dict[str, Any]


class Coach:
    """Does the same to a store and to a plain model, which remembers its past states."""

    def __init__(self, store: Store, chance: random.Random, label: str = "Swimmer {}") -> None:
        self.store = store
        self.chance = chance
        self.people: dict[int, str] = {}
        self.swims: dict[int, Model] = {}
        self.past: list[tuple[dict[int, str], dict[int, Model]]] = []
        self.future: list[tuple[dict[int, str], dict[int, Model]]] = []
        self.label = label
        self.named = 0

    def state(self) -> tuple[dict[int, str], dict[int, Model]]:
        return dict(self.people), {number: dict(swim) for number, swim in self.swims.items()}

    def step(self) -> None:
        """Do one random thing."""
        verbs = [
            self.add,
            self.add,
            self.change,
            self.remove,
            self.rename,
            self.undo,
            self.redo,
            self.several,
        ]
        self.chance.choice(verbs)()

    def _write(self, *deeds: Any) -> None:
        before = self.state()
        with self.store.write(who="c", what="edit", at=NOW) as writer:
            changed = [deed(writer) for deed in deeds]
        if any(changed):
            self.past.append(before)
            self.future.clear()

    def add(self) -> None:
        self._write(self._add)

    def several(self) -> None:
        self._write(self._add, self._change, self._remove, self._add)

    def change(self) -> None:
        self._write(self._change)

    def remove(self) -> None:
        self._write(self._remove)

    def rename(self) -> None:
        self._write(self._rename)

    def undo(self) -> None:
        self._turn(self.store.undo, self.past, self.future)

    def redo(self) -> None:
        self._turn(self.store.redo, self.future, self.past)

    def undo_whatever_stands(self, at: dt.datetime) -> bool:
        """Undo in the store alone; whether there was anything to undo."""
        try:
            self.store.undo(at=at)
        except UsageError:
            return False
        return True

    def _turn(self, verb: Any, these: list[Any], those: list[Any]) -> None:
        try:
            verb(at=NOW)
        except UsageError:
            assert not these
            return
        those.append(self.state())
        self.people, self.swims = these.pop()

    def _add(self, writer: Any) -> bool:
        if not self.people or self.chance.random() < 0.2:
            self.named += 1
            label = self.label.format(self.named)
            self.people[writer.add([Swimmer(swimmer=label)])[0]] = label
            return True
        label = self.chance.choice(list(self.people.values()))
        day = dt.date(2026, 1, 1) + dt.timedelta(days=self.chance.randrange(150))
        fields = {
            "date": day,
            "swimmer": label,
            "distance_m": 400.0,
            "time_s": self.chance.randrange(30_000, 60_000) / 100,
        }
        self.swims[writer.add([Swim(**fields)])[0]] = fields | {"note": ""}
        return True

    def _change(self, writer: Any) -> bool:
        if not self.swims:
            return False
        number = self.chance.choice(list(self.swims))
        fields = {
            "note": f"note {self.chance.randrange(5)}",
            "time_s": self.chance.randrange(30_000, 60_000) / 100,
        }
        writer.change(Swim, number, **fields)
        same = all(self.swims[number][name] == value for name, value in fields.items())
        self.swims[number] |= fields
        return not same

    def _remove(self, writer: Any) -> bool:
        if not self.swims:
            return False
        number = self.chance.choice(list(self.swims))
        writer.remove(Swim, number)
        del self.swims[number]
        return True

    def _rename(self, writer: Any) -> bool:
        if not self.people:
            return False
        number = self.chance.choice(list(self.people))
        old, self.named = self.people[number], self.named + 1
        self.people[number] = self.label.format(self.named)
        writer.change(Swimmer, number, swimmer=self.people[number])
        for swim in self.swims.values():
            if swim["swimmer"] == old:
                swim["swimmer"] = self.people[number]
        return True

    def agrees(self) -> bool:
        """Return whether the store holds what the model holds."""
        with self.store.read() as reader:
            people = {kept.id: kept.record.swimmer for kept in reader.all(Swimmer)}
            swims = {kept.id: kept.record for kept in reader.all(Swim)}
        return (
            people == self.people
            and {
                number: {name: getattr(swim, name) for name in self.swims.get(number, {})}
                for number, swim in swims.items()
            }
            == self.swims
        )


def edits(seed: int, count: int = 1000, steps: int = 50) -> list[str]:
    """Run `count` sequences."""
    wrong = undone = 0
    for number in range(count):
        with tempfile.TemporaryDirectory(dir=SCRATCH) as folder:
            store = Store.open(Path(folder) / "x.db")
            coach = Coach(store, random.Random(seed * 1_000_000 + number))  # noqa: S311
            for _ in range(steps):
                coach.step()
            wrong += not coach.agrees()
            while coach.past:
                coach.undo()
                undone += 1
            wrong += not coach.agrees()
            wrong += bool(coach.people or coach.swims)
            store.close()
    failed = "FAILED: " if wrong else ""
    return [
        f"{failed}{count} random sequences of {steps} edits, undos and redos against a plain model: "
        f"mismatches {wrong}; then {undone} changes undone back to nothing"
    ]
