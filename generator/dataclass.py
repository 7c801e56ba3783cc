"""The dataclasses of the standard library, with nothing compiled before the first record is made.

The standard decorator compiles six functions for each class when its file is loaded. This package has 400
such classes, of which one run uses a third: that was a sixth of what a check of a small box takes. Here the
functions are closures, except for ``__init__``, which is compiled when it is first called. To a checker of
types this is the standard decorator itself.
"""
from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import MISSING, FrozenInstanceError
from dataclasses import field as field
from dataclasses import fields as fields
from dataclasses import replace as replace
from operator import attrgetter
from typing import TYPE_CHECKING, Any  # a class made of any fields

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:
    def dataclass(given=None, /, *, frozen=False, slots=False, eq=True):
        """As the decorator of the standard library, for what this package asks of it."""
        def decorated(given: type) -> type:
            made = dataclasses.dataclass(given, init=False, repr=False, eq=False, slots=slots)
            methods = {"__init__": _late_init(made, frozen), "__repr__": _repr}
            methods |= _comparing(made, frozen) if eq else {}
            for name, method in methods.items():
                if vars(made).get(name) is None:        # what a class says itself stands
                    setattr(made, name, method)
            if frozen:
                made.__setattr__, made.__delattr__ = _refuse_to_set, _refuse_to_delete
                made.__getstate__, made.__setstate__ = _state, _set_state
            return made
        return decorated if given is None else decorated(given)


def _late_init(cls: Any, frozen: bool) -> Callable[..., None]:
    """An ``__init__`` that puts the compiled one in its place when it is called first."""
    def __init__(self: object, *given: object, **named: object) -> None:    # noqa: N807    # it is one
        cls.__init__ = _compiled_init(cls, frozen)
        cls.__init__(self, *given, **named)
    return __init__


def _compiled_init(cls: Any, frozen: bool) -> Any:
    scope: dict[str, Any] = {"_put": object.__setattr__, "MISSING": MISSING}
    parameters, lines = ["self"], []
    for each in fields(cls):
        name, value = each.name, each.name
        if each.default_factory is not MISSING:
            scope[f"make_{name}"] = each.default_factory
            parameters.append(f"{name}=MISSING")
            value = f"make_{name}() if {name} is MISSING else {name}"
        elif each.default is not MISSING:
            scope[f"default_{name}"] = each.default
            parameters.append(f"{name}=default_{name}")
        else:
            parameters.append(name)
        lines.append(f"_put(self, {name!r}, {value})" if frozen else f"self.{name} = {value}")
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    exec(f"def __init__({', '.join(parameters)}):\n " + "\n ".join(lines or ["pass"]), scope)
    scope["__init__"].__qualname__ = f"{cls.__qualname__}.__init__"
    return scope["__init__"]


def _comparing(cls: Any, frozen: bool) -> dict[str, Callable[..., Any] | None]:
    """``__eq__`` and ``__hash__`` by the fields that count; what is not frozen has no hash."""
    names = [each.name for each in fields(cls) if each.compare]
    values: Callable[[Any], Any] = attrgetter(*names) if len(names) > 1 else (
        lambda record: tuple(getattr(record, name) for name in names))

    def __eq__(self: object, other: object) -> bool:    # noqa: N807
        return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

    def __hash__(self: object) -> int:      # noqa: N807
        return hash(values(self))
    return {"__eq__": __eq__, "__hash__": __hash__ if frozen else None}


def _repr(self: Any) -> str:
    told = [f"{each.name}={getattr(self, each.name)!r}" for each in fields(self) if each.repr]
    return f"{type(self).__qualname__}({', '.join(told)})"


def _refuse_to_set(_self: object, name: str, _value: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_to_delete(_self: object, name: str) -> None:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[object]:
    """What a process hands to another."""
    return [getattr(self, each.name) for each in fields(self)]


def _set_state(self: Any, state: list[object]) -> None:
    for each, value in zip(fields(self), state, strict=True):
        object.__setattr__(self, each.name, value)
