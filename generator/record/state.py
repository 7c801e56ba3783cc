"""What a tutorial is at one time: for each edition short lines of text by kind, and their names.

The lines are made to be kept for years: they hold measures as they are printed, and names (hashes) of what is
too long to be kept, so that whoever compares them needs no program of that time.
"""
from __future__ import annotations

import hashlib
from collections.abc import Mapping

from generator.dataclass import dataclass, field
from generator.units import FrozenRecord

# what of an edition can change by itself, in the order in which it is told
KINDS = ("measures", "pictures", "words", "prints", "paper", "credit", "photos")
LATER_KINDS = frozenset({"prints"})          # which the first records lack
NAME_LENGTH = 10        # hexadecimal digits: 40 bits tell the sentences of a tutorial apart for certain


@dataclass(frozen=True, slots=True)
class EditionState(FrozenRecord):
    """``mark`` is the revision mark; ``kinds`` holds for each of :data:`KINDS` its lines, text by name."""

    mark: str
    kinds: Mapping[str, Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class TutorialState(FrozenRecord):
    """Both editions by system; ``quotes`` are the sentences of the working copy by their names."""

    editions: Mapping[str, EditionState]
    quotes: Mapping[str, str] = field(default_factory=dict)


def name_of(text: str | bytes) -> str:
    """A short name for a text (the head of its SHA-256)."""
    data = text.encode("utf-8", "surrogatepass") if isinstance(text, str) else text
    return hashlib.sha256(data).hexdigest()[:NAME_LENGTH]
