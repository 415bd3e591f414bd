"""What stands on a screen: each takes values and posts messages."""
