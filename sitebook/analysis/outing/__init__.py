"""What a recorded track says of the places it crossed."""
