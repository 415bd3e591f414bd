"""Records: validated, frozen, no database, no clock."""
