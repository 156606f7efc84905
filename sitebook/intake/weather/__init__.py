"""Daily weather: one file a form, one a subject they share."""

from sitebook.intake.weather.reading import read_weather

__all__ = ["read_weather"]
