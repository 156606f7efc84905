"""Reads and sets the values she may set."""

from __future__ import annotations

import dataclasses
import math

from sitebook import errors
from sitebook.citations import Cited
from sitebook.records.book import Setting
from sitebook.records.results.listing import SettingLine
from sitebook.records.settings import ENDS, MEANINGS, Settings
from sitebook.reference import limits
from sitebook.store import rows
from sitebook.store.book import Book, writing
from sitebook.work import home_area
from sitebook.work.answer import Answer


def settings_of(book: Book) -> Settings:
    """Give the values in force for a book."""
    hers = {s.setting_key: s.value_text for s in rows.records(book, Setting) if s.person_id is None}
    values = {key: _value(key, text) for key, text in hers.items() if key in MEANINGS}
    return dataclasses.replace(Settings(), **values)  # type: ignore[arg-type]


def _value(key: str, text: str) -> str | Cited:
    built_in = getattr(Settings(), key)
    if key == "soil_authority":
        return _authority(text)
    if not isinstance(built_in, Cited):
        return text
    try:
        number = float(text.replace(",", "."))
    except ValueError:
        number = math.nan
    least, most = ENDS.get(key, (0.0, math.inf))
    if key in ENDS and not least <= number <= most:
        raise errors.ValueImpossible(
            f"{key} is '{text}'", remedy=f"Give a number from {least:g} to {most:g}."
        )
    if key not in ENDS and not 0.0 < number < math.inf:
        raise errors.ValueImpossible(
            f"{key} is '{text}'", remedy=f"Give a number above zero, in {built_in.unit}."
        )
    return dataclasses.replace(built_in, value=number)


def _authority(text: str) -> str:
    """Give an authority as the table writes it; no word stands for none."""
    found = limits.authority_named(text) if text.strip() else ""
    if found is None:
        raise errors.ValueImpossible(
            f"soil_authority is '{text}', an authority whose soil values the book does not hold",
            remedy=f"Name one of: {', '.join(limits.authorities())}.",
        )
    return found


def list_settings(book: Book) -> Answer[tuple[SettingLine, ...]]:
    """Answer every setting with its value in force."""
    return Answer((*(_line(book, key) for key in MEANINGS), home_area.home_area_line(book)))


def set_value(book: Book, key: str, text: str | None) -> Answer[SettingLine]:
    """Set one value, or go back to the built-in one where None is given.

    Raises
    ------
    RecordMissing
        When there is no such setting.
    ValueImpossible
        When the value cannot be.
    """
    if key not in MEANINGS:
        raise errors.RecordMissing(
            f"there is no setting '{key}'", remedy=f"There are: {', '.join((*MEANINGS, home_area.KEY))}."
        )
    if text is not None:
        _value(key, text)
    table = rows.table_for(Setting)
    with writing(book):
        there = rows.records(book, Setting, table.c.setting_key == key, table.c.person_id.is_(None))
        if text is None:
            rows.delete(book, Setting, [s.id for s in there if s.id is not None])
        elif there and there[0].id is not None:
            rows.update(book, Setting, there[0].id, {"value_text": text})
        else:
            built_in = getattr(Settings(), key)
            unit = built_in.unit if isinstance(built_in, Cited) else None
            rows.insert(book, [Setting(setting_key=key, value_text=text, unit=unit)])
    return Answer(_line(book, key))


def _line(book: Book, key: str) -> SettingLine:
    in_force = getattr(settings_of(book), key)
    table = rows.table_for(Setting)
    hers = bool(rows.records(book, Setting, table.c.setting_key == key, table.c.person_id.is_(None)))
    if isinstance(in_force, Cited):
        return SettingLine(key, MEANINGS[key], f"{in_force.value:g}", in_force.unit, hers, in_force.mark)
    return SettingLine(key, MEANINGS[key], str(in_force), "", hers, "our choice")
