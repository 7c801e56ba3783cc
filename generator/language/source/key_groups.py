"""Groups of keys, read by the annotations of a class, with everything that is wrong in one run.

What YAML gives is judged as it stands: no text is taken for a number, no unknown key is passed over. Written
here, since the library that was used for it took a sixth of a check's time to load.
"""
from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from types import NoneType
from typing import (
    Any,  # what YAML gives is anybody's
    Literal,
    NamedTuple,
    TypeVar,
    get_args,
    get_origin,
    get_type_hints,
)

from generator.language.source.yaml_tree import KeyPath

Group = TypeVar("Group", bound="KeyGroup")
_WRONG = object()       # what comes of a value that is reported


class Before(NamedTuple):
    """In an annotation: makes the value, before it is judged; may raise ValueError."""

    make: Callable[[object], object]


class After(NamedTuple):
    """In an annotation: makes the value of one that was found sound; may raise ValueError."""

    make: Callable[[Any], object]


class Instead(NamedTuple):
    """In an annotation: judges the value alone; may raise ValueError."""

    make: Callable[[object], object]


class Between(NamedTuple):
    """In an annotation: the least and the greatest number."""

    low: int
    high: int


class AtMost(NamedTuple):
    """In an annotation: how many entries a list may have."""

    entries: int


class WrittenAs(NamedTuple):
    """In an annotation: the key, where Python has another use for the word."""

    key: str


class WrongValue(NamedTuple):
    """One thing that is wrong; ``path`` leads to it, with ``on_key`` to the key and not to its value.

    ``kind`` is "missing" or "unknown" (of keys), a "type" (then with the name of the one that is wanted), a
    "choice", "low", "high", "long", or "value", for which ``cause`` has the words.
    """

    kind: str
    path: KeyPath
    on_key: bool = False
    cause: ValueError | None = None


class WrongValues(Exception):
    """All that is wrong with the values of a group."""

    def __init__(self, errors: tuple[WrongValue, ...]):
        super().__init__(f"{len(errors)} wrong values")
        self.errors = errors


_Reader = Callable[[object, KeyPath, list[WrongValue]], object]


class KeyGroup:
    """A group of keys, each a field of the class; a key that has no default must be there."""

    @classmethod
    def read(cls: type[Group], data: object) -> Group:
        """The group with these values. Raises WrongValues, which tells of all of them."""
        errors: list[WrongValue] = []
        made = _group_reader(cls)(data, (), errors)
        if errors:
            raise WrongValues(tuple(errors))
        assert isinstance(made, cls)
        return made

    @classmethod
    def known_keys(cls) -> tuple[str, ...]:
        """The keys, as they are written, in the order of the class."""
        return tuple(_fields_of(cls))

    def checked(self) -> None:
        """Raise ValueError where values that are sound by themselves do not go together."""


class _Field(NamedTuple):
    name: str
    read: _Reader
    required: bool


_FIELDS: dict[type[KeyGroup], Mapping[str, _Field]] = {}


def _fields_of(group: type[KeyGroup]) -> Mapping[str, _Field]:
    """By the key that is written; worked out when a group is read first."""
    if group in _FIELDS:
        return _FIELDS[group]
    found = {}
    for name, hint in get_type_hints(group, include_extras=True).items():
        key = next((each.key for each in getattr(hint, "__metadata__", ()) if isinstance(each, WrittenAs)),
                   name)
        found[key] = _Field(name, _reader(hint), not hasattr(group, name))
    _FIELDS[group] = found
    return found


def _group_reader(group: type[KeyGroup]) -> _Reader:
    def read(data: object, path: KeyPath, errors: list[WrongValue]) -> object:
        if not isinstance(data, dict):
            return _wrong(errors, "type group", path)
        fields, before, made = _fields_of(group), len(errors), group()
        for key, field in fields.items():
            if key in data:
                vars(made)[field.name] = field.read(data[key], (*path, key), errors)
            elif field.required:
                errors.append(WrongValue("missing", (*path, key)))
        errors += (WrongValue("unknown", (*path, key), on_key=True) for key in data if key not in fields)
        return made if len(errors) > before else _attempt(_checked, made, path, errors)
    return read


def _checked(group: KeyGroup) -> KeyGroup:
    group.checked()
    return group


@cache
def _reader(hint: Any) -> _Reader:
    """What reads a value of this annotation."""
    if hasattr(hint, "__metadata__"):
        return _annotated_reader(hint)
    arguments: tuple[Any, ...] = get_args(hint)
    if NoneType in arguments:
        inner = _reader(next(each for each in arguments if each is not NoneType))
        return lambda value, path, errors: None if value is None else inner(value, path, errors)
    if get_origin(hint) is Literal:
        return lambda value, path, errors: (value if isinstance(value, str) and value in arguments
                                            else _wrong(errors, "choice", path))
    if get_origin(hint) is list:
        return _list_reader(_reader(arguments[0]), None)
    if get_origin(hint) is dict:
        return _mapping_reader(*map(_reader, arguments))
    if issubclass(hint, KeyGroup):
        return _group_reader(hint)
    # a truth value is a number to Python, and nobody means it as one
    return lambda value, path, errors: (value if type(value) is hint
                                        else _wrong(errors, f"type {hint.__name__}", path))


def _annotated_reader(hint: Any) -> _Reader:
    for each in hint.__metadata__:
        if isinstance(each, Instead):
            return lambda value, path, errors: _attempt(each.make, value, path, errors)
    limit = next((each.entries for each in hint.__metadata__ if isinstance(each, AtMost)), None)
    read = _reader(hint.__origin__) if limit is None else _list_reader(
        _reader(get_args(hint.__origin__)[0]), limit)
    for each in hint.__metadata__:
        read = _extended(read, each)
    return read


def _extended(read: _Reader, by: object) -> _Reader:
    """The reader with what one part of an annotation adds."""
    if isinstance(by, Before):
        make = by.make

        def before(value: object, path: KeyPath, errors: list[WrongValue]) -> object:
            made = _attempt(make, value, path, errors)
            return made if made is _WRONG else read(made, path, errors)
        return before
    if isinstance(by, After):
        wanted = by.make
    elif isinstance(by, Between):
        def wanted(value: int) -> object:
            if by.low <= value <= by.high:
                return value
            raise _OutOfRange("low" if value < by.low else "high")
    else:
        return read

    def after(value: object, path: KeyPath, errors: list[WrongValue]) -> object:
        count = len(errors)
        made = read(value, path, errors)
        return made if len(errors) > count else _attempt(wanted, made, path, errors)
    return after


class _OutOfRange(ValueError):
    """Which end of its range a number has left."""


def _list_reader(item: _Reader, limit: int | None) -> _Reader:
    def read(value: object, path: KeyPath, errors: list[WrongValue]) -> object:
        if not isinstance(value, list):
            return _wrong(errors, "type list", path)
        if limit is not None and len(value) > limit:
            return _wrong(errors, "long", path)
        return [item(each, (*path, at), errors) for at, each in enumerate(value)]
    return read


def _mapping_reader(key: _Reader, item: _Reader) -> _Reader:
    def read(value: object, path: KeyPath, errors: list[WrongValue]) -> object:
        if not isinstance(value, dict):
            return _wrong(errors, "type dict", path)
        made = {}
        for name, each in value.items():
            on_key: list[WrongValue] = []
            key(name, (*path, name), on_key)
            errors += (one._replace(on_key=True) for one in on_key)
            made[name] = item(each, (*path, name), errors)
        return made
    return read


def _attempt(make: Callable[[Any], object], value: object, path: KeyPath, errors: list[WrongValue]) -> object:
    try:
        return make(value)
    except _OutOfRange as error:
        return _wrong(errors, str(error), path)
    except ValueError as error:
        errors.append(WrongValue("value", path, cause=error))
        return _WRONG


def _wrong(errors: list[WrongValue], kind: str, path: KeyPath) -> object:
    errors.append(WrongValue(kind, path))
    return _WRONG
