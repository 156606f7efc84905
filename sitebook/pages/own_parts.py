"""Fetches the templates, scripts and styles that lie in `parts`."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

PARTS = Path(__file__).parent / "parts"


@cache
def text_of(name: str) -> str:
    """Give the text of one script or style sheet, as `frame.css`."""
    return (PARTS / name).read_text(encoding="utf-8")


@cache
def _environment() -> Environment:
    """Templates that escape every value and refuse a missing one."""
    return Environment(
        loader=FileSystemLoader(PARTS),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def rendered(template: str, **values: object) -> Markup:
    """Fill a template; every value is escaped unless it is Markup already.

    Parameters
    ----------
    template
        File name in `parts`, as `frame.html.j2`.
    values
        What the template names.
    """
    return Markup(_environment().get_template(template).render(**values))  # noqa: S704 (escaped by jinja)
