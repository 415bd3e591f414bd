"""The only folder that knows SQL: tables, transactions, migrations, backup, undo."""
