"""Pictures made of characters: functions from values to cells, without an app."""
