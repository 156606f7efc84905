"""What roads and other sources may have left on a place."""
