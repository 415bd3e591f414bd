"""A club on a PostgreSQL server: connections, errors, who sees what."""
