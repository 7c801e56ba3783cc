"""The English words of the website, for code that has no other language to choose from.

The words themselves stand in ``generator/tongue/words/<language>/``; add them there, in every language.
"""
from __future__ import annotations

from generator.tongue import ENGLISH

STRINGS = ENGLISH.section("website")
