"""Swims to one comparable series a swimmer, and what was left out and why."""
