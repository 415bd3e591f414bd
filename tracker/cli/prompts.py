"""Ask on a terminal what an ambiguous word means; elsewhere the error says how to type either."""

from __future__ import annotations

from argparse import Namespace
from collections.abc import Callable

from tracker.cli.remedies import COMMAND_LINE
from tracker.cli.wiring import Context
from tracker.errors import AmbiguousNameError, EntryError, Problem
from tracker.model.text import fitting


def run_asking(run: Callable[[Namespace, Context], int], args: Namespace, ctx: Context) -> int:
    """Run a command; where its words leave a question open, ask, put the answer in and run it again.

    Nothing is stored, and nothing printed, by a command whose words are refused.

    Raises
    ------
    EntryError, AmbiguousNameError
        If there is no terminal, something else is wrong too, or no answer is given.
    """
    while True:
        try:
            return run(args, ctx)
        except AmbiguousNameError as unclear:
            if not (ctx.may_ask and _named(unclear, args, ctx)):
                raise
        except EntryError as unclear:
            questions = all(problem.choices for problem in unclear.problems)
            if not (questions and ctx.may_ask and all(_answered(one, args, ctx) for one in unclear.problems)):
                raise


def _answered(problem: Problem, args: Namespace, ctx: Context) -> bool:
    """Ask which of its readings is meant and put it where the words stand; tell whether that was done."""
    name = problem.field.strip("-").replace("-", "_")
    dest = next((dest for dest in (name, f"{name}s") if getattr(args, dest, None)), "")
    written = getattr(args, dest, "")
    words = written if isinstance(written, list) else [written]
    there = [number for number, word in enumerate(words) if word.strip() == problem.value]
    if not dest or (not there and not isinstance(written, list)):
        return False
    choice = ctx.chosen(problem.worded(COMMAND_LINE), problem.choices) if there else ""
    for number in there:
        words[number] = choice
    if not isinstance(written, list):
        setattr(args, dest, choice)
    return bool(choice) or not there  # the same word twice is asked about once


def _named(unclear: AmbiguousNameError, args: Namespace, ctx: Context) -> bool:
    """Ask which swimmer is meant and put the label where the name stands; tell whether that was done."""
    places = [(name, value) for name, value in vars(args).items() if unclear.name in (value, *_listed(value))]
    label = _label_answered(unclear, ctx) if places else ""
    if not label:
        return False
    for name, value in places:
        words = [label if word == unclear.name else word for word in _listed(value)]
        setattr(args, name, words if isinstance(value, list) else label)
    return True


def _listed(value: object) -> list[object]:
    return value if isinstance(value, list) else []


def _label_answered(unclear: AmbiguousNameError, ctx: Context) -> str:
    """Ask until one person is meant, by number or any part of the name; "" where nothing is answered."""
    labels = unclear.choices
    while True:
        numbered = ", ".join(f"{number} {label}" for number, label in enumerate(labels, 1))
        answer = ctx.asked(f"{unclear}. Which one: {numbered}?")
        if answer.isdecimal() and 1 <= int(answer) <= len(labels):
            return labels[int(answer) - 1]
        meant = fitting(answer, labels)
        if len(meant) < 2:
            return "".join(meant)
        labels = meant
