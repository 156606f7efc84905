"""Starts the command line."""

from sitebook.commands.main import main

if __name__ == "__main__":
    main()
