"""Tests that what weather does is said in plain words that hold."""

from __future__ import annotations

import pytest

from sitebook.analysis.season.effect_words import effect_words, share_words
from sitebook.analysis.season.weather_effect import Effect

USUAL, FAR = "in usual weather", "as far as can be told"


@pytest.mark.parametrize(
    ("times", "low", "high", "said"),
    [
        (
            0.43,
            0.23,
            0.83,
            f"less than half as often as {USUAL} (between a quarter and four fifths as often).",
        ),
        (1.1, 1.02, 1.3, f"a little more often than {USUAL} (between 1.0 times and 1.3 times as often)."),
        (1.0, 0.8, 1.3, f"about as often as {USUAL}, {FAR} (between four fifths and 1.3 times as often)."),
        (0.7, 0.6, 0.9, f"less often than {USUAL} (between three fifths and nine tenths as often)."),
        (2.6, 1.5, 4.0, f"more than twice as often as {USUAL} (between 1.5 times and 4.0 times as often)."),
    ],
)
def test_more_and_less_are_said_without_figures_below_one(
    times: float, low: float, high: float, said: str
) -> None:
    assert effect_words(Effect(times, low, high, mostly_assumed=False, known=True)) == said
    assumed = effect_words(Effect(times, low, high, mostly_assumed=True, known=True))
    assert assumed == f"{said[:-1]}; mostly assumed."


@pytest.mark.parametrize("times", [0.01, 0.1, 0.3, 0.62, 0.86, 0.99, 1.0, 1.04, 1.2, 7.0])
def test_every_number_of_times_has_words(times: float) -> None:
    assert share_words(times)
    assert ("." in share_words(times)) == (times > 0.96)
