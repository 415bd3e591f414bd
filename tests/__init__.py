"""What slackwater promises, checked."""
