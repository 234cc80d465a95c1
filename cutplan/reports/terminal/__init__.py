"""What is shown in plain text."""
