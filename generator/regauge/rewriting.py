"""Put an edition's values into the text of a source; everything else stays byte for byte, comments too.

One change at a time, each at the place that YAML's own reader names, and the
text is read again after each: flow and block style, quotes and comments, and
whatever stands where the edition should be are kept or replaced as they are.
"""
from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import yaml

from generator.language.source.front_matter_models import CHOSEN_FOR
from generator.language.source.yaml_tree import LOADER
from generator.units import QuantityError, other_system, parse_length, system_of, unit_of

BYTE_ORDER_MARK = "\ufeff"     # some editors put it first
YamlEntry = tuple[yaml.Node, yaml.Node]


class UnwritableSource(ValueError):
    """The values cannot be put into this text; the message says why."""


def typed_length(value: Fraction, system: str) -> str:
    """A length as one types it, exactly: "1 1/4 in", "62.5 mm"."""
    measured_in = system_of(system)
    if measured_in.halves:
        whole, part = divmod(value / measured_in.mm, 1)
        numbers = (str(whole) if whole or not part else "", str(part) if part else "")
        return " ".join(filter(None, (*numbers, system)))
    digits = f"{float(value):.6f}".rstrip("0").rstrip(".")
    return f"{digits} mm" if Fraction(digits) == value else f"{value.numerator}/{value.denominator} mm"


def chosen_length(value: Fraction, system: str, drawn: Fraction) -> str:
    """A length of the other edition as one types it, with the drawn one: "2 3/8 in for 60 mm"."""
    return f"{typed_length(value, system)}{CHOSEN_FOR}{typed_length(drawn, other_system(system))}"


def rewrite_edition(text: str, system: str, values: Mapping[str, Fraction], drawn: Mapping[str, Fraction],
                    within: Fraction | None = None) -> str:
    """The source with ``values`` as its edition in ``system``, ``within`` as its window where one is given.

    Each value says for which of the ``drawn`` lengths it was chosen. All lengths are in mm. ``text`` is the
    whole source as it is, line ends and byte order mark included.
    """
    start, end = _front_matter_range(text)
    front = _FrontMatterEditor(text[start:end])
    front.edition(system, {name: chosen_length(value, system, drawn[name]) for name, value in values.items()})
    if within is not None:
        front.put(("editions",), "within", _percent(within))
    return text[:start] + front.text + text[end:]


def fill_dimensions(text: str, system: str, counts: Mapping[str, int],
                    lengths: Mapping[str, Fraction]) -> str:
    """The source drawn in ``system`` with these counts and named lengths.

    Its other edition stays as it is.
    """
    start, end = _front_matter_range(text)
    front = _FrontMatterEditor(text[start:end])
    front.put((), "drawn_in", system)
    for name, count in counts.items():
        front.put(("counts",), name, str(count))
    for name, value in lengths.items():
        front.put(("lengths",), name, typed_length(value, system))
    return text[:start] + front.text + text[end:]


def rewrite_key(text: str, key: str, value: str) -> str:
    """The source with this value of a key of its front matter, as YAML has it."""
    start, end = _front_matter_range(text)
    front = _FrontMatterEditor(text[start:end])
    front.put((), key, value)
    return text[:start] + front.text + text[end:]


def _percent(share: Fraction) -> str:
    return f"{float(share * 100):g} %"


def _front_matter_range(text: str) -> tuple[int, int]:
    """Where the front matter begins and ends, without the lines --- around it."""
    rows = text.split("\n")
    if rows[0].removeprefix(BYTE_ORDER_MARK).rstrip() != "---":
        raise UnwritableSource("this source does not begin with front matter")
    at = start = len(rows[0]) + 1
    for row in rows[1:]:
        if row.rstrip() in ("---", "..."):
            return start, at
        at += len(row) + 1
    raise UnwritableSource("the front matter is never ended")


class _FrontMatterEditor:
    """Front matter that is changed in place."""

    def __init__(self, text: str):
        self.text = text
        self.newline = "\r\n" if "\r\n" in text else "\n"

    def edition(self, system: str, texts: Mapping[str, str]) -> None:
        """Make the edition say these lengths and no others; the drawn one has its lengths elsewhere."""
        path = ("editions", system)
        if any(key.value == other_system(system) for key, _ in self._entries(path[:1])):
            self._remove(path[:1], other_system(system))
        for key in [key.value for key, _ in self._entries(path)]:
            if key not in texts:
                self._remove(path, key)
        if self._entries(path):
            for name, text in texts.items():
                self.put(path, name, text)
            return
        whole = "{" + ", ".join(f"{name}: {text}" for name, text in texts.items()) + "}"
        if self._entries(path[:1]):
            self.put(path[:1], system, whole)
        else:
            self.put((), "editions", f"{{{system}: {whole}}}", behind="lengths")

    def put(self, path: tuple[str, ...], key: str, text: str, behind: str | None = None) -> None:
        """Give ``key`` of the mapping at ``path`` this value.

        A value that is the same length already stays as it is typed.
        """
        found = self._find((*path, key))
        if found is None:
            self._add(path, f"{key}: {text}", behind)
        elif not _same_length(found[1], text):
            self._replace(found, text)

    # -- finding ------------------------------------------------------------

    def _root(self) -> yaml.Node:
        node = yaml.compose(self.text, Loader=LOADER)
        if not isinstance(node, yaml.MappingNode):
            raise UnwritableSource("the front matter is not made of keys and values")
        return node

    def _entries(self, path: tuple[str, ...]) -> list[YamlEntry]:
        """What the mapping at a path holds; nothing where none stands there."""
        found = self._find(path)
        return found[1].value if found and isinstance(found[1], yaml.MappingNode) else []

    def _mapping(self, path: tuple[str, ...]) -> yaml.MappingNode:
        found = self._find(path)
        node = found[1] if found else self._root()
        if not isinstance(node, yaml.MappingNode):
            raise UnwritableSource(f"“{'.'.join(path)}” has no keys of its own")
        return node

    def _find(self, path: tuple[str, ...]) -> YamlEntry | None:
        """Key and value at a path; None where there is none, or for the whole."""
        node, found = self._root(), None
        for step in path:
            if not isinstance(node, yaml.MappingNode):
                return None
            found = next((entry for entry in node.value if entry[0].value == step), None)
            if found is None:
                return None
            node = found[1]
        return found

    # -- changing -----------------------------------------------------------

    def _splice(self, start: int, end: int, text: str) -> None:
        self.text = self.text[:start] + text + self.text[end:]

    def _replace(self, entry: YamlEntry, text: str) -> None:
        key, value = entry
        if isinstance(value, yaml.ScalarNode) and value.style in ("'", '"'):
            text = f"{value.style}{text}{value.style}"
        start, end = value.start_mark.index, _node_end(value)
        if start >= end:        # no value stands there: put it behind the colon
            start = end = self.text.index(":", key.end_mark.index) + 1
            text = f" {text}"
        self._splice(start, end, text)

    def _add(self, path: tuple[str, ...], entry: str, behind: str | None) -> None:
        node = self._mapping(path)
        after = next((e for e in node.value if e[0].value == behind), node.value[-1] if node.value else None)
        if node.flow_style or after is None:
            at = _entry_end(after) if after else node.end_mark.index - 1
            self._splice(at, at, f", {entry}" if after else entry)
            return
        indent = " " * after[0].start_mark.column
        at = self.text.find("\n", max(_entry_end(after) - 1, 0))
        if at < 0:
            self.text, at = self.text + self.newline, len(self.text)
            self._splice(len(self.text), len(self.text), f"{indent}{entry}{self.newline}")
            return
        self._splice(at + 1, at + 1, f"{indent}{entry}{self.newline}")

    def _remove(self, path: tuple[str, ...], key: str) -> None:
        node = self._mapping(path)
        k = next(i for i, entry in enumerate(node.value) if entry[0].value == key)
        start, end = node.value[k][0].start_mark.index, _entry_end(node.value[k])
        if not node.flow_style:
            start = self.text.rfind("\n", 0, start) + 1
            end = self.text.find("\n", end - 1) + 1 or len(self.text)
        elif k + 1 < len(node.value):
            end = node.value[k + 1][0].start_mark.index
        elif k:
            start = _entry_end(node.value[k - 1])
        self._splice(start, end, "")


def _node_end(node: yaml.Node) -> int:
    """Where a node's last sign stands behind; a block mapping's own mark lies at whatever follows it."""
    if isinstance(node, yaml.MappingNode) and not node.flow_style and node.value:
        return _entry_end(node.value[-1])
    if isinstance(node, yaml.SequenceNode) and not node.flow_style and node.value:
        return _node_end(node.value[-1])
    return node.end_mark.index


def _entry_end(entry: YamlEntry) -> int:
    return max(entry[0].end_mark.index, _node_end(entry[1]))


def _same_length(node: yaml.Node, text: str) -> bool:
    """True for the same length, chosen for the same one, however they are typed."""
    if not isinstance(node, yaml.ScalarNode):
        return False
    old, new = node.value.split(CHOSEN_FOR), text.split(CHOSEN_FOR)
    try:
        return len(old) == len(new) and all(parse_length(a) == parse_length(b) and unit_of(a) == unit_of(b)
                                            for a, b in zip(old, new, strict=True))
    except QuantityError:
        return bool(node.value == text)
