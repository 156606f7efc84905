"""What the invented island is made of, one subject a file."""
