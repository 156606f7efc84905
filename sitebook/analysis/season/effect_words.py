"""Says in plain words how much more or less often weather lets something be found."""

from __future__ import annotations

import math

from sitebook.analysis.season.weather_effect import Effect

SHARES: tuple[tuple[float, str], ...] = (
    (0.1, "a tenth"),
    (0.2, "a fifth"),
    (0.25, "a quarter"),
    (1 / 3, "a third"),
    (0.4, "two fifths"),
    (0.5, "half"),
    (0.6, "three fifths"),
    (2 / 3, "two thirds"),
    (0.75, "three quarters"),
    (0.8, "four fifths"),
    (0.9, "nine tenths"),
)
LEAST = 0.07
"""A share below this is said to be under a tenth."""
ALIKE = 1.0 / 0.95
"""Less than this many times more or less often is said as 1.0 times."""


def effect_words(effect: Effect) -> str:
    """Say what weather does to the finds to be expected, from how little to how much it may be.

    Parameters
    ----------
    effect
        What weather does, as `weather_effect.effect` gives it.
    """
    low, high = share_words(effect.low), share_words(effect.high)
    span = f"{low} as often" if low == high else f"between {low} and {high} as often"
    assumed = "; mostly assumed" if effect.mostly_assumed else ""
    if effect.low <= 1.0 <= effect.high:
        return f"about as often as in usual weather, as far as can be told ({span}){assumed}."
    return f"{how_often(effect.times)} in usual weather ({span}){assumed}."


def share_words(times: float) -> str:
    """Give a number of times in words: the nearest plain fraction below one, figures above it."""
    if times < LEAST:
        return "under a tenth"
    if 1.0 / ALIKE < times < ALIKE:
        return "1.0 times"
    if times > 1.0:
        return f"{times:.1f} times"
    return min(SHARES, key=lambda share: abs(math.log(share[0] / times)))[1]


def how_often(times: float) -> str:
    """Say how much more or less often, as "less often than", in the plainest words that hold."""
    if times >= 1.0:
        steps = (
            (1.25, "a little more often than"),
            (2.0, "more often than"),
            (3.0, "more than twice as often as"),
        )
        return next((words for end, words in steps if times < end), "more than three times as often as")
    steps = (
        (0.25, "less than a quarter as often as"),
        (0.5, "less than half as often as"),
        (0.8, "less often than"),
    )
    return next((words for end, words in steps if times < end), "a little less often than")
