"""Every sentence a reader sees, a topic a file."""
