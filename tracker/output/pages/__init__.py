"""Pages: a season to one page value, and that value set as PDF, plain text and HTML."""
