"""Read the catalogue: one folder a language below ``words/``, one YAML file for each room that says something."""
from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from types import MappingProxyType

import yaml

WORDS = Path(__file__).parent / "words"
FORMS = frozenset({"zero", "one", "two", "few", "many", "other"})     # plural categories (Unicode TR 35, part 3)

Entry = str | Mapping[str, str]     # words, or the forms of a plural

# Everything is text: YAML would read "no" and "on" as truth values otherwise.
_Loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


def languages() -> tuple[str, ...]:
    """The codes (BCP 47) of all languages that have a folder, English first."""
    return tuple(sorted((path.name for path in WORDS.iterdir() if path.is_dir()), key=lambda code: (code != "en", code)))


def entries(language: str) -> Mapping[str, Entry]:
    """Everything a language says, by "room.key"; deeper keys are joined by dots too."""
    found: dict[str, Entry] = {}
    for path in sorted((WORDS / language).glob("*.yaml")):
        tree = yaml.load(path.read_text(encoding="utf-8"), Loader=_Loader) or {}
        found.update(_flat(path.stem, tree))
    return MappingProxyType(found)


def _flat(name: str, node: object) -> Iterator[tuple[str, Entry]]:
    if isinstance(node, Mapping) and not (node and node.keys() <= FORMS):
        for key, below in node.items():
            yield from _flat(f"{name}.{key}", below)
    elif isinstance(node, list):
        for place, below in enumerate(node):
            yield from _flat(f"{name}.{place}", below)
    else:
        yield name, node
