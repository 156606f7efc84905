"""Knows which find of the owner's bears which number."""

from __future__ import annotations

from sitebook.records.find import Find
from sitebook.store import rows
from sitebook.store.book import Book
from sitebook.work.opening import owner


class Numbers:
    """The owner's numbered finds; a tag in a picture is hers.

    Parameters
    ----------
    book
        The book.
    """

    def __init__(self, book: Book) -> None:
        self.book = book
        self.owner = owner(book)
        self._finds: dict[int, Find] = {}
        table = rows.table_for(Find)
        mine = (table.c.collector_id == self.owner.id, table.c.collection_number.is_not(None))
        for find in rows.records(book, Find, *mine, withdrawn=True):
            self.note(find)

    def note(self, find: Find) -> Find:
        """Note a find whose number was given, or that was changed; gives it back."""
        if find.collection_number is not None:
            self._finds[find.collection_number] = find
        return find

    def find(self, number: int) -> Find | None:
        """Give the find of a number, withdrawn ones among them; None where no find bears it."""
        return self._finds.get(number)
