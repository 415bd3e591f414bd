"""A command line in a home of its own, and a store of one's own."""

from tests.cli.conftest import cli, home, ines
from tests.store.conftest import store

__all__ = ["cli", "home", "ines", "store"]
