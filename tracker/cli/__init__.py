"""The command line: main, wiring and one file per command."""
