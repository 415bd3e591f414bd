"""How many small mistakes the tests beside a file would notice, on demand."""
