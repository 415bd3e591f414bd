"""What is written down: validated, frozen, no database, no clock."""
