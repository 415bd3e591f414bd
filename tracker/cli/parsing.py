"""The command line's grammar: the parser, verbs, and values of flags."""

from __future__ import annotations

import argparse
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import zip_longest
from typing import TYPE_CHECKING, NoReturn

from tracker.entry.times import parse_number, shown
from tracker.entry.typed_times import time_problem, typed_time
from tracker.errors import EntryError, Problem, UsageError
from tracker.model.plausibility import Limits
from tracker.model.text import clean_line

if TYPE_CHECKING:
    from tracker.model.about import RecordField

Problems = list[Problem]


@contextmanager
def whatever_is_wrong() -> Iterator[Problems]:
    """Collect problems and raise them together at the end."""
    problems: Problems = []
    yield problems
    if problems:
        raise EntryError(tuple(problems))


def swim_times(
    texts: Sequence[str], distances_m: Sequence[float], name: str, limits: Limits, problems: Problems
) -> list[float]:
    """Return the seconds of times over distances; what is none, or not plain, is added to `problems`."""
    found = []
    for text, metres in zip_longest(texts, distances_m[: len(texts)]):
        try:
            found.append(typed_time(text, metres, limits))
        except ValueError as wrong:
            problems.append(time_problem(name, text, wrong))
    return found


def number_list(texts: Iterable[str], name: str, problems: Problems) -> list[float]:
    """Return numbers above zero; what is none is added to `problems`."""
    return _each(texts, name, _above_zero, problems)


def least_zero_list(texts: Iterable[str], name: str, problems: Problems) -> list[float]:
    """Return numbers not below zero; what is none is added to `problems`."""
    return _each(texts, name, _not_below_zero, problems)


def _each(texts: Iterable[str], name: str, read: Callable[[str], float], problems: Problems) -> list[float]:
    found = []
    for text in texts:
        try:
            found.append(read(text))
        except ValueError as wrong:
            problems.append(Problem(name, clean_line(text), str(wrong)))
    return found


def _above_zero(text: str) -> float:
    number = parse_number(text)
    if number <= 0:
        raise ValueError(f"{shown(text)} is not above zero")
    return number


def _not_below_zero(text: str) -> float:
    number = parse_number(text)
    if number < 0:
        raise ValueError(f"{shown(text)} is below zero")
    return number


SHARED_VALUED = ("--db", "--as-of")
SHARED_SWITCHES = ("--json", "--quiet", "--no-color", "--no-input", "--debug")

_CHOICE = re.compile(r"argument (?P<where>[^:]+): invalid choice: (?P<typed>.+) \(choose from (?P<all>.+)\)")


def nearest(typed: str, names: Iterable[str]) -> tuple[str, ...]:
    """Return up to three of `names` that look like what was typed, best first."""
    from difflib import get_close_matches

    return tuple(get_close_matches(typed, list(names), n=3, cutoff=0.55))


def meant(typed: str, names: Iterable[str]) -> str:
    """Return "; did you mean ...?" or nothing."""
    near = nearest(typed, names)
    return f"; did you mean {' or '.join(near)}?" if near else ""


def is_shared(action: argparse.Action) -> bool:
    """Return whether a flag is one that every command has, or help."""
    return bool({*SHARED_VALUED, *SHARED_SWITCHES, "--help"} & set(action.option_strings))


class _Help(argparse.RawDescriptionHelpFormatter):
    """Help whose usage line leaves out the flags that every command has."""

    def add_usage(
        self,
        usage: str | None,
        actions: Iterable[argparse.Action],
        groups: Iterable[argparse._MutuallyExclusiveGroup],
        prefix: str | None = None,
    ) -> None:
        """Add the usage of a command's own arguments."""
        shared = {
            flag.removeprefix("--").replace("-", "_") for flag in (*SHARED_VALUED, *SHARED_SWITCHES, "help")
        }
        super().add_usage(usage, [action for action in actions if action.dest not in shared], groups, prefix)


class Parser(argparse.ArgumentParser):
    """A parser that raises `UsageError` instead of printing and leaving."""

    def __init__(self, prog: str, description: str = "", example: str = "", *, shared: bool = True) -> None:
        super().__init__(
            prog=prog,
            description=description,
            epilog=f"example:\n{_indented(example)}" if example else None,
            formatter_class=_Help,
            allow_abbrev=False,
        )
        # "-1:02" and "-3,4" are values (refused or used with a reason), not unknown flags.
        self._negative_number_matcher = re.compile(r"^-[\d.].*$")
        if shared:
            add_shared(self)

    def error(self, message: str) -> NoReturn:
        """Raise what argparse found wrong, in one line, with the nearest name where there is one."""
        if choice := _CHOICE.fullmatch(message):
            typed = choice["typed"].strip("'\"")
            names = [name.strip(" '\"") for name in choice["all"].split(",")]
            message = f"{typed!r} is no {choice['where'].lower()}{meant(typed, names) or _one_of(names)}"
        elif message.endswith("VERB"):
            message = f"{self.prog} needs a verb{_one_of(list(self.verbs()))}"
        raise UsageError(f"{message} (see '{self.prog} --help')")

    def format_help(self) -> str:
        """Return the help; a command with verbs shows how each is used."""
        usages = [
            parser.format_usage().removeprefix("usage: ").replace("\n       ", "\n")
            for parser in self.verbs().values()
        ]
        return super().format_help() + (
            "\nverbs in full:\n" + _indented("".join(usages)) + "\n" if usages else ""
        )

    def verbs(self) -> dict[str, Parser]:
        """Return the parser of each verb; empty for a command without verbs."""
        for action in self._actions:
            if isinstance(action, argparse._SubParsersAction):  # noqa: SLF001 - argparse has no public name for it
                return dict(action.choices)
        return {}

    def parse(self, argv: Sequence[str]) -> argparse.Namespace:
        """Return the arguments; an unknown flag is named with its nearest."""
        # Flags may stand between the arguments; argparse can't do that where there are verbs, or where
        # an argument behind a "--" looks like a flag.
        behind = argv[list(argv).index("--") + 1 :] if "--" in argv else ()
        plain = self.verbs() or any(word.startswith("-") for word in behind)
        known = self.parse_known_args if plain else self.parse_known_intermixed_args
        args, rest = known(list(argv))
        if rest:
            flags = [
                name
                for parser in self._family(argv)
                for flag in parser.flags()
                for name in flag.option_strings
            ]
            typed = rest[0].partition("=")[0]
            kind = "unknown flag" if typed.startswith("-") and typed != "-" else "one argument too many:"
            self.error(f"{kind} {typed!r}{meant(typed, flags) if typed.startswith('-') else ''}")
        return args

    def arguments(self) -> list[argparse.Action]:
        """Return what stands on the line without a flag, the verb among them."""
        return [action for action in self._actions if not action.option_strings]

    def flags(self) -> list[argparse.Action]:
        """Return the flags, shared ones and help among them."""
        return [action for action in self._actions if action.option_strings]

    def help_of(self, action: argparse.Action) -> str:
        """Return the help of an argument with its default put in."""
        return (action.help or "") % {"default": action.default}

    def _family(self, argv: Sequence[str]) -> list[Parser]:
        """Return this parser and those of the verbs that were typed."""
        return [self, *(parser for verb, parser in self.verbs().items() if verb in argv)]


class Verbs:
    """The verbs of a command (``swimmer add``); `first` stands before them (``cue NAME start``)."""

    def __init__(self, parser: Parser, first: str = "") -> None:
        self._prog = f"{parser.prog} {first}" if first else parser.prog
        self._verbs = parser.add_subparsers(
            title="verbs", dest="verb", metavar="VERB", required=True, parser_class=Parser
        )

    def add(self, verb: str, summary: str, example: str) -> Parser:
        """Return the parser of one more verb."""
        return self._verbs.add_parser(
            verb, help=summary, prog=f"{self._prog} {verb}", description=_sentence(summary), example=example
        )


def add_shared(parser: argparse.ArgumentParser) -> None:
    """Add the flags that every command has; absent ones leave no trace in the namespace."""
    group = parser.add_argument_group("for every command, before or after it")
    group.add_argument("--db", metavar="PATH|URL", default=argparse.SUPPRESS, help="the database")
    group.add_argument("--as-of", metavar="DATE", default=argparse.SUPPRESS, help="the day it is")
    for flag, text in (
        ("--json", "print JSON"),
        ("--quiet", "say only what was asked for"),
        ("--no-color", "no colour"),
        ("--no-input", "never ask"),
        ("--debug", "show the full trace of an error"),
    ):
        group.add_argument(flag, action="store_true", default=argparse.SUPPRESS, help=text)


def split_verb(argv: Sequence[str]) -> tuple[list[str], str | None, list[str]]:
    """Return the shared flags before the command, the command, and what follows.

    Raises
    ------
    UsageError
        If an unknown flag stands before the command.
    """
    before: list[str] = []
    rest = list(argv)
    while rest and rest[0].startswith("-") and rest[0] != "-":
        flag, equals, _ = rest[0].partition("=")
        if flag in {"-h", "--help", "--version"}:
            return before, flag, rest[1:]
        if flag in SHARED_VALUED:
            taken = 1 if equals else 2
            if len(rest) < taken:
                raise UsageError(f"{flag} needs a value (see 'slackwater --help')")
        elif flag in SHARED_SWITCHES and not equals:
            taken = 1
        else:
            near = meant(flag, (*SHARED_VALUED, *SHARED_SWITCHES, "--help", "--version"))
            raise UsageError(f"unknown flag {flag!r} before the command{near} (see 'slackwater --help')")
        before += rest[:taken]
        rest = rest[taken:]
    return before, (rest[0] if rest else None), rest[1:]


def _indented(example: str) -> str:
    return "\n".join(f"  {line}" for line in example.splitlines())


def _sentence(summary: str) -> str:
    return f"{summary[:1].upper()}{summary[1:]}."


def _one_of(names: Sequence[str]) -> str:
    return f"; use one of {', '.join(names)}"


def add_fields(
    parser: Parser,
    fields: Iterable[RecordField],
    *,
    old: bool = False,
    help_format: str = "{}",
    dest: str = "{}",
) -> None:
    """Add a flag for each field; that of a field of several texts may be repeated.

    Parameters
    ----------
    old
        Whether they are what changes of a record, and stay if they are not given.
    help_format
        What the help says around a field's own words.
    dest
        Where the value stands in the namespace, around the field's own name.
    """
    for field in fields:
        words = help_format.format(field.about.words if old else field.help)
        several = field.about.typed == "lines"
        parser.add_argument(
            field.flag,
            dest=dest.format(field.name),
            metavar=field.value,
            help=words or None,
            action="append" if several else "store",
        )


def typed_fields(
    args: argparse.Namespace, fields: Iterable[RecordField], *, dest: str = "{}"
) -> dict[str, str]:
    """Return what was typed for the fields, by their names; several texts each in a line of its own."""
    typed = {field.name: getattr(args, dest.format(field.name)) for field in fields}
    return {
        name: "\n".join(value) if isinstance(value, list) else value
        for name, value in typed.items()
        if value is not None
    }
