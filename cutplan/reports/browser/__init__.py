"""What is shown in a browser."""
