"""Finds words in what a person reads that would judge whether something may be eaten."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

from tests.house.source_files import Text, parsed, short, strings

JUDGING = re.compile(
    r"\b(?:safe(?:ly|r|st|ty)?|unsafe(?!-inline)|clean(?:er|est|ly)?|(?:all[- ])?clear|harmless|wholesome"
    r"|edible|inedible"
    r"|(?:ok|okay|fine|good|fit) to (?:eat|pick|gather|collect)|(?:with)?in (?:the )?limits|below the limit"
    r"|unpolluted|uncontaminated|risk[- ]free|no risk|free of pollution|healthy|non-?toxic)\b",
    re.IGNORECASE,
)
"""Words that a page, a label, a message or a help text must not use."""

_JINJA = re.compile(r"\{\{.*?\}\}|\{%.*?%\}|\{#.*?#\}", re.DOTALL)
_JS_TEXT = re.compile(r"\"((?:[^\"\\\n]|\\.)*)\"|'((?:[^'\\\n]|\\.)*)'|`((?:[^`\\]|\\.)*)`")
_READ_ATTRIBUTES = {"aria-label", "title", "alt", "placeholder", "value", "content"}


class _VisibleText(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[int, str]] = []
        self.unread = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.unread += tag in {"script", "style"}
        texts = [value for name, value in attrs if name in _READ_ATTRIBUTES and value]
        self.found += [(self.getpos()[0], text) for text in texts]

    def handle_endtag(self, tag: str) -> None:
        self.unread -= tag in {"script", "style"}

    def handle_data(self, data: str) -> None:
        if not self.unread:
            self.found.append((self.getpos()[0], data))


def of_html(path: Path, html: str) -> Iterator[Text]:
    """Give what a person reads of an HTML text, what screen readers read among it."""
    parser = _VisibleText()
    parser.feed(_JINJA.sub(lambda match: re.sub(r"[^\n]", " ", match.group()), html))
    parser.close()
    yield from (Text(path, line, text) for line, text in parser.found)


def of_script(path: Path, script: str) -> Iterator[Text]:
    """Give the strings of a script."""
    for match in _JS_TEXT.finditer(script):
        line = script.count("\n", 0, match.start()) + 1
        yield Text(path, line, next(group for group in match.groups() if group is not None))


def of_help(path: Path) -> Iterator[Text]:
    """Give the docstrings of functions, which a command shows as its help."""
    for node in ast.walk(parsed(path)):
        if isinstance(node, ast.FunctionDef) and (said := ast.get_docstring(node)):
            yield Text(path, node.lineno, said)


def visible(path: Path) -> Iterator[Text]:
    """Give what a person may read of a file of the package."""
    if path.suffix == ".py":
        yield from strings(path)
        if "commands" in path.parts:
            yield from of_help(path)
    elif {".html", ".j2"} & set(path.suffixes):
        yield from of_html(path, path.read_text("utf-8"))
    elif path.suffix == ".js":
        yield from of_script(path, path.read_text("utf-8"))
    elif path.suffix in {".csv", ".svg"}:
        for number, line in enumerate(path.read_text("utf-8").splitlines(), start=1):
            yield Text(path, number, line)


def judgements(texts: Iterator[Text]) -> list[str]:
    """Give each judging word with its place."""
    return [
        f"{short(text.path)}:{text.line_number}: {match.group()!r} in {text.words[:80]!r}"
        for text in texts
        for match in JUDGING.finditer(text.words)
    ]
