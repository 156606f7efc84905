"""The command line: the only room that prints, asks and exits."""
