"""The command line as in the tests of the commands."""

from tests.cli.conftest import cli, home

__all__ = ["cli", "home"]
