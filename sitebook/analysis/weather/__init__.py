"""What the weather of a place was, as the season model reads it."""
