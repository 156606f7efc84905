"""Makes of one line of a table of laboratory tests the test and its results."""

from __future__ import annotations

import re

from sitebook.intake.cells import CellError, number
from sitebook.intake.table.entry import Entry
from sitebook.intake.table.identity import identity
from sitebook.intake.table.making import Making
from sitebook.records.incoming import Draft
from sitebook.vocabulary import BASIS, RESULT_UNIT

THINGS = {"site": "site_id", "host_tree": "host_tree_id", "find": "find_id"}
BASIS_SPELLINGS = {"dry": "dry", "dm": "dry", "dw": "dry", "fresh": "fresh", "fm": "fresh", "fw": "fresh"}
UNIT_SPELLINGS = {unit.casefold(): unit for unit in RESULT_UNIT.all} | {"µg/kg": "ug/kg", "μg/kg": "ug/kg"}
VALUE = re.compile(r"(<?)\s*([+-]?[0-9][0-9.,]*(?:[eE][+-]?[0-9]+)?|[.,][0-9]+)?")
GLUED = re.compile(r"(<?[+-]?[0-9][0-9.,]*)([^0-9.,\s]\S*/\S*)")
EXAMPLE = "write it as Pb 34 mg/kg dry; Cd <0.05 mg/kg dry"
TAKEN_AS_DRY = (
    "Results of soil without fresh or dry were taken as of dry mass; change lab_result if they were not."
)


def complete_lab_test(making: Making, _: Entry) -> None:
    """Check that a test is of exactly one thing; raises CellError where it is of none, or of several."""
    named = [header for header, column in THINGS.items() if column in making.refers]
    if not named:
        raise CellError("what was tested? fill one of site, host_tree and find")
    if len(named) > 1:
        raise CellError(f"a test is of one thing, and {' and '.join(named)} are filled: keep one of them")
    depths = {"depth_from_cm", "depth_to_cm"} & set(making.values)
    if depths and making.values.get("material") not in {"soil", "dust"}:
        raise CellError("depth_from_cm and depth_to_cm are of soil; leave them empty for other material")
    if making.values.get("dry_matter_fraction") == 0.0:
        raise CellError("dry_matter_fraction is 0: leave it empty where it was not measured")


def complete_lab_result(making: Making, entry: Entry) -> None:
    """Check one result that stands in a table of its own; a value of 0 raises CellError."""
    if not entry.at_its_word and making.values.get("value") == 0.0:
        raise CellError("value is 0: give the detection limit, and below_limit=yes")


def with_results(test: Draft, entry: Entry) -> list[Draft]:
    """Give a test and a draft for each result of its cell; raises CellError as `read_result`."""
    parts = [part.strip() for part in re.split(r"[;|\n]", entry.text("results") or "")]
    is_soil = test.values.get("material") == "soil"
    drafts = [_result(test, part, is_soil=is_soil) for part in parts if part]
    keys = [draft.identity for draft in drafts]
    if twice := next((d for d in drafts if keys.count(d.identity) > 1), None):
        raise CellError(f"results: {twice.values['analyte']!r} stands there twice on one basis")
    return [test, *drafts]


def read_result(text: str) -> dict[str, object]:
    """Read one result, as Pb 34 mg/kg dry or Cd <0.05 mg/kg dry; the basis may be missing.

    Returns
    -------
    dict
        analyte, value and unit; below_limit and detection_limit where a < stands before the value;
        basis where it is given.

    Raises
    ------
    CellError
        When the analyte, the value or the unit is missing or cannot be, or a word is left over.
    """
    words = re.sub(r"<\s*(?=[0-9.,])", " <", text).split()
    basis = BASIS_SPELLINGS.get(words[-1].casefold()) if words else None
    words = words[:-1] if basis else words
    if words and (glued := GLUED.fullmatch(words[-1])):
        words[-1:] = [glued[1], glued[2]]
    unit = UNIT_SPELLINGS.get(words[-1].casefold()) if words else None
    if unit is None:
        raise CellError(_why_no_unit(text, words))
    value, below = _value(words[-2] if len(words) > 1 else "", text)
    analyte = " ".join(words[:-2])
    if not analyte:
        raise CellError(f"results: {text!r} names no analyte; {EXAMPLE}")
    limits: dict[str, object] = {"below_limit": True, "detection_limit": value} if below else {}
    told: dict[str, object] = {"basis": basis} if basis else {}
    return {"analyte": analyte, "value": value, "unit": unit} | limits | told


def _why_no_unit(text: str, words: list[str]) -> str:
    if len(words) > 1 and words[-2].casefold() in UNIT_SPELLINGS:
        return f"results: {words[-1]!r} in {text!r} is not one of: {', '.join(BASIS.all)}"
    allowed = ", ".join(RESULT_UNIT.all)
    if words and "/" in words[-1]:
        return f"results: {words[-1]!r} in {text!r} is not one of: {allowed}"
    return f"results: {text!r} has no unit; write one of {allowed} behind the value"


def _value(word: str, text: str) -> tuple[float, bool]:
    parts = VALUE.fullmatch(word)
    if parts is None or not word:
        raise CellError(f"results: {text!r} has no value before its unit; {EXAMPLE}")
    if parts[2] is None:
        raise CellError(f"results: the < in {text!r} needs the detection limit behind it, as <0.05")
    value = number(parts[2])
    if value is None or value <= 0.0:
        raise CellError(
            f"results: the value in {text!r} must be above 0; "
            "what was not found is written < its detection limit"
        )
    return value, bool(parts[1])


def _result(test: Draft, text: str, *, is_soil: bool) -> Draft:
    values = read_result(text)
    remarks = () if "basis" in values or not is_soil else (TAKEN_AS_DRY,)
    if "basis" not in values and not is_soil:
        raise CellError(
            f"results: {text!r} does not say of which mass; write {' or '.join(BASIS.all)} behind it"
        )
    values.setdefault("basis", "dry")
    key = identity("lab_result", (test.identity, values["analyte"], values["basis"]))
    refers = {"lab_test_id": test.identity}
    return Draft("lab_result", key, values, refers, test.line_number, remarks)
