"""A club on a PostgreSQL server: connections, errors, row security."""
