"""A small entry sheet of an invented town, with names that try to break out of the page."""

from __future__ import annotations

import datetime

from sitebook.records.results.entry_sheet import EntrySheet, SheetPerson, SheetSite, SheetTaxon, SheetTree

BAD = "<script>window.broken=1</script></script><img src=x onerror=window.broken=1>"
OWNER = SheetPerson("11111111-1111-4111-8111-111111111111", "OV", "Orla Vennar")
FRIEND = SheetPerson("22222222-2222-4222-8222-222222222222", "BD", f"Bea {BAD}")
WOOD = SheetSite(
    "33333333-3333-4333-8333-333333333333",
    "Harbour wood",
    ("Resting until 2025-12-01: look, do not gather.",),
    (
        SheetTree("44444444-4444-4444-8444-444444444444", "E1", "Quercus robur"),
        SheetTree("55555555-5555-4555-8555-555555555555", "E2", ""),
    ),
)
LAWN = SheetSite("66666666-6666-4666-8666-666666666666", f"Lawn {BAD}", (), ())
TAXA = (
    SheetTaxon("77777777-7777-4777-8777-777777777777", "Boletus edulis", "penny bun", (WOOD.uuid,)),
    SheetTaxon("88888888-8888-4888-8888-888888888888", "Suillus luteus", "slippery jack", (WOOD.uuid,)),
    SheetTaxon("99999999-9999-4999-8999-999999999999", f"Agaricus {BAD}", "", (LAWN.uuid,)),
    SheetTaxon("aaaaaaaa-aaaa-4aaa-8aaa-aaaaaaaaaaaa", "Hygrocybe conica", "blackening waxcap", ()),
)


def sample_sheet() -> EntrySheet:
    """Give the sheet."""
    return EntrySheet(
        uuid="bbbbbbbb-bbbb-4bbb-8bbb-bbbbbbbbbbbb",
        book="cccccccc-cccc-4ccc-8ccc-cccccccccccc",
        title="Vennaray",
        revision=7,
        made_on=datetime.date(2025, 10, 4),
        collector=OWNER,
        first_number=21,
        last_number=32,
        people=(OWNER, FRIEND),
        sites=(WOOD, LAWN),
        taxa=TAXA,
        poison_centre="",
    )
