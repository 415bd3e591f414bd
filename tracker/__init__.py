"""slackwater: the long record of test swims and technique reviews, and what it says."""
