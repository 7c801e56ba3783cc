"""The words that readers meet, one catalogue a language, and how a language counts, lists and writes numbers."""
from generator.tongue.tongue import ENGLISH, LANGUAGES, Tongue, capital, tongue

__all__ = ["ENGLISH", "LANGUAGES", "Tongue", "capital", "tongue"]
