"""One command's module and its parser, imported only when it is asked for."""

from __future__ import annotations

from importlib import import_module
from typing import Protocol, cast

from tracker.cli.commands import COMMANDS
from tracker.cli.parsing import Parser


class CommandModule(Protocol):
    """What the module of a command has."""

    EXAMPLE: str

    def add_arguments(self, parser: Parser) -> None:
        """Add what the command takes."""

    def run(self, args: object, ctx: object) -> int:
        """Do it and return the exit code."""


def load(command: str) -> CommandModule:
    """Import the module of one command."""
    return cast("CommandModule", import_module(f"tracker.cli.{COMMANDS[command].module}"))


def parser_of(command: str, module: CommandModule) -> Parser:
    """Return the parser of one command."""
    summary = COMMANDS[command].summary
    parser = Parser(f"slackwater {command}", f"{summary[:1].upper()}{summary[1:]}.", module.EXAMPLE)
    module.add_arguments(parser)
    return parser
