"""Gives empty tables to fill in a spreadsheet."""

from __future__ import annotations

from sitebook import errors
from sitebook.outgo.table import template, template_kinds
from sitebook.work.answer import Answer


def template_of(kind: str) -> Answer[str]:
    """Answer an empty table of a kind: what each column means, then the header.

    Raises
    ------
    BadArgument
        When there is no table of the kind.
    """
    if kind not in template_kinds():
        raise errors.BadArgument(
            f"there is no table of kind '{kind}'", remedy=f"There are: {', '.join(template_kinds())}."
        )
    return Answer(template(kind))
