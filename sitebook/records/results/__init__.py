"""What analyses answer: frozen dataclasses without I/O."""
