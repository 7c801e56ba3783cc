"""Records as plain data: JSON and bytes that another program run can read, and a digest of what records hold.

Places in a source (:class:`Span`) are told apart but not written down: they are numbered, and whoever reads
the data back hands in those that now stand for the numbers. So what is made of a text that has only moved is
found again. Nothing is ever run when data is read: it names records of this package that are loaded already.
"""
from __future__ import annotations

import base64
import hashlib
import json
import sys
import zlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields
from datetime import date
from enum import Enum
from fractions import Fraction
from functools import cache
from typing import Any

from generator.findings import Span

PACKAGE = __name__.partition(".")[0]
ENCODING = ("utf-8", "surrogatepass")
LEVEL = 1               # of zlib: higher levels gain little
_encoded = json.JSONEncoder(ensure_ascii=False).encode      # json.dumps makes an encoder for each row
PLAIN = frozenset({str, int, float, bool, type(None)})


class NotData(ValueError):
    """A value that is no data, or data that is none of ours."""


@cache
def _field_names(kind: Any) -> tuple[str, ...]:
    """Of a record or a named tuple; none of anything else."""
    if hasattr(kind, "__dataclass_fields__"):
        return tuple(each.name for each in fields(kind))
    return getattr(kind, "_fields", ())


class _Writer:
    """Rows of records, each once however often it is met: [class, values …], those within before it.

    In a value a list stands for what JSON has no words for: [n] is the record of row n, else its first
    entry says what it is.
    """

    def __init__(self, spans: Iterable[Span] | None, new_spans: bool = False) -> None:
        self.rows: dict[str, int] = {}
        self.spans = None if spans is None else {span: number for number, span in enumerate(spans)}
        self._new_spans = new_spans
        self._met: dict[int, tuple[object, list[Any]]] = {}      # by id, with what keeps the id taken

    def value(self, value: Any) -> Any:
        kind: type = type(value)
        if kind in PLAIN:
            return value
        if kind is tuple or kind is list:
            return [kind.__name__, *map(self.value, value)]
        found = self._met.get(id(value))
        if found is None:
            found = self._met[id(value)] = value, self._other(value)
        return found[1]

    def _other(self, value: Any) -> list[Any]:
        kind: type = type(value)
        if kind is Span and self.spans is not None:
            if value not in self.spans and not self._new_spans:
                raise NotData("a place that none of what was given has")
            return ["span", self.spans.setdefault(value, len(self.spans))]
        if kind is Fraction:
            return ["fraction", value.numerator, value.denominator]
        if names := _field_names(kind):
            row = _encoded([_name(kind), *(self.value(getattr(value, name)) for name in names)])
            return [self.rows.setdefault(row, len(self.rows))]
        if isinstance(value, Enum):
            return ["enum", _name(kind), value.name]
        if isinstance(value, Mapping):
            return ["mapping", *([self.value(key), self.value(inner)] for key, inner in value.items())]
        if isinstance(value, frozenset):
            return ["set", *sorted(map(self.value, value), key=repr)]
        if isinstance(value, bytes):
            return ["bytes", base64.b64encode(value).decode()]
        if isinstance(value, date):
            return ["date", value.isoformat()]
        return _foreign(value)


@cache
def _name(kind: type) -> str:
    if kind.__module__.partition(".")[0] != PACKAGE:
        raise NotData(f"{kind} is not ours")
    return f"{kind.__module__} {kind.__qualname__}"


def _foreign(value: object) -> list[Any]:
    """What libraries make: arrays, areas, and text that is HTML already."""
    kind = type(value)
    if kind.__module__ == "markupsafe":
        return ["markup", str(value)]
    numpy, shapely = sys.modules.get("numpy"), sys.modules.get("shapely")
    if numpy is not None and isinstance(value, (numpy.ndarray, numpy.generic)) and not value.dtype.hasobject:
        shape = value.shape if isinstance(value, numpy.ndarray) else None
        return ["array", value.dtype.str, shape and [*shape], base64.b64encode(value.tobytes()).decode()]
    if shapely is not None and isinstance(value, shapely.Geometry):
        data = shapely.to_wkb(value)
        if type(shapely.from_wkb(data)) is kind:
            return ["geometry", base64.b64encode(data).decode()]
    raise NotData(f"{kind} is no data")


def digest_of(value: object) -> tuple[str, tuple[Span, ...]]:
    """A name for all that a value holds but for its places, and these, each once. Raises NotData."""
    writer = _Writer((), new_spans=True)
    root = _encoded(writer.value(value))
    text = "\n".join((*writer.rows, root))
    return hashlib.sha256(text.encode(*ENCODING)).hexdigest(), tuple(writer.spans or ())


def data_of(value: object, spans: Iterable[Span] | None = None) -> bytes:
    """The value as data, its places, where ``spans`` are given, as those of them. Raises NotData."""
    writer = _Writer(spans)
    root = _encoded(writer.value(value))
    return zlib.compress(f"[[{','.join(writer.rows)}],{root}]".encode(*ENCODING), LEVEL)


def value_of(data: bytes, spans: Sequence[Span] = ()) -> Any:
    """The value that :func:`data_of` wrote, with ``spans`` for its places.

    Raises NotData for anything else.
    """
    try:
        rows, root = json.loads(zlib.decompress(data).decode(*ENCODING))
        reader = _Reader(spans)
        for name, *values in rows:
            reader.records.append(_loaded(name)(*map(reader.value, values)))
        return reader.value(root)
    except (zlib.error, ValueError, TypeError, LookupError, AttributeError) as wrong:
        raise NotData(f"not such data: {wrong}") from wrong


def _loaded(name: str) -> Any:
    """A class of this package by its module and name."""
    module, qualified = name.split(" ")
    if module.partition(".")[0] != PACKAGE:
        raise NotData(f"{name} is not ours")
    found: Any = sys.modules[module]
    for part in qualified.split("."):
        found = getattr(found, part)
    return found


class _Reader:
    """Values of what a :class:`_Writer` wrote, as soon as the records within them have been read."""

    def __init__(self, spans: Sequence[Span]) -> None:
        self.records: list[Any] = []
        self._kinds: Mapping[str, Callable[..., Any]] = {
            "tuple": lambda *each: tuple(map(self.value, each)),
            "list": lambda *each: [*map(self.value, each)],
            "mapping": lambda *each: {self.value(key): self.value(inner) for key, inner in each},
            "set": lambda *each: frozenset(map(self.value, each)),
            "fraction": Fraction, "span": spans.__getitem__, "bytes": base64.b64decode,
            "date": date.fromisoformat, "enum": lambda name, member: _loaded(name)[member],
            "markup": lambda text: sys.modules["markupsafe"].Markup(text), "array": _array,
            "geometry": lambda text: sys.modules["shapely"].from_wkb(base64.b64decode(text))}

    def value(self, data: Any) -> Any:
        if type(data) is not list:
            return data
        first = data[0]
        return self._kinds[first](*data[1:]) if type(first) is str else self.records[first]


def _array(kind: str, shape: list[int] | None, text: str) -> Any:
    numpy = sys.modules["numpy"]
    flat = numpy.frombuffer(base64.b64decode(text), kind)
    return flat[0] if shape is None else flat.reshape(shape).copy()
