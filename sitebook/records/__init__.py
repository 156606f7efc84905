"""What is known: one frozen dataclass a table, its fields the table's columns."""
