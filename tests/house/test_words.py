"""Tests that nothing a person reads judges whether something may be eaten."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.house import judging_words
from tests.house.source_files import REPOSITORY, tracked_files

HERE = Path(__file__)


def test_no_visible_text_judges() -> None:
    package = [p for p in tracked_files() if p.is_relative_to(REPOSITORY / "sitebook")]
    found = [
        judgement
        for path in package
        if "__pycache__" not in path.parts
        for judgement in judging_words.judgements(judging_words.visible(path))
    ]
    assert not found


@pytest.mark.parametrize(
    "said", ["This place is safe.", "All clear", "ok to eat", "within limits", "a clean site", "edible"]
)
def test_judging_words_are_found_in_text_and_labels(said: str) -> None:
    html = f"<p>{said}</p><button aria-label='{said}'>x</button><style>p {{ clear: both }}</style>"
    assert len(judging_words.judgements(judging_words.of_html(HERE, html))) == 2
    assert judging_words.judgements(judging_words.of_script(HERE, f'say("{said}"); c.clearRect(1)'))


@pytest.mark.parametrize(
    "said", ["Not enough known.", "No mapped source within 300 m.", "a clearing", "dry_cleaning"]
)
def test_plain_words_pass(said: str) -> None:
    assert not judging_words.judgements(judging_words.of_html(HERE, f"<p>{said}</p>{{{{ text|safe }}}}"))
