"""The words that readers meet, and how a language counts, lists and writes numbers."""
from generator.locale.language import ENGLISH, LANGUAGES, Locale, capital, locale_for

__all__ = ["ENGLISH", "LANGUAGES", "Locale", "capital", "locale_for"]
