"""Expressions as plain data, so that they can be worked out again by something that knows nothing of this program.

A tree is a number as text ("7/2"), ``["of", name]`` for a named length, or a
sign or function and its parts: ``["<=", a, b]``, ``["sqrt", a]``. The signs
are ``+ - * / == < <= and or not``, the functions ``sqrt sin cos tan atan abs
min max``. Lengths are in mm, angles in degrees.
"""
from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from generator.language.syntax import nodes

Tree = str | list
Meaning = Callable[[nodes.Name | nodes.Attribute], "Tree | nodes.Expr | None"]
MOST_NODES = 5000       # of one tree; names that are used again and again could make it grow without end


class _Unwritable(Exception):
    """This expression is no plain sum."""


def as_tree(expr: nodes.Expr, meaning: Meaning) -> Tree | None:
    """The tree of an expression, or None. ``meaning`` says what a name or property stands for: a tree, or more words."""
    try:
        return _Writer(meaning).tree(expr)
    except _Unwritable:
        return None


def of_form(form: Mapping[str, Fraction]) -> Tree:
    """The tree of an affine form."""
    tree: Tree = "0"
    for name, c in form.items():
        tree = ["+", tree, ["*", str(c), ["of", name]]]
    return tree


class _Writer:
    def __init__(self, meaning: Meaning):
        self.meaning, self.nodes = meaning, 0

    def tree(self, expr: nodes.Expr) -> Tree:
        self.nodes += 1
        if self.nodes > MOST_NODES:
            raise _Unwritable
        match expr:
            case nodes.NumberLiteral():
                return str(expr.value)
            case nodes.AngleLiteral():
                return str(expr.degrees)
            case nodes.Name() | nodes.Attribute():
                return self._named(expr)
            case nodes.Negative():
                return ["-", "0", self.tree(expr.of)]
            case nodes.Not():
                return ["not", self.tree(expr.of)]
            case nodes.Binary() | nodes.Logic():
                return [expr.op, self.tree(expr.left), self.tree(expr.right)]
            case nodes.Comparison():
                return self._comparison(expr)
            case nodes.Call():
                return _called(expr.name, [self.tree(each) for each in (*expr.args, *(k.value for k in expr.keywords))])
        raise _Unwritable

    def _named(self, expr: nodes.Name | nodes.Attribute) -> Tree:
        meant = self.meaning(expr)
        if meant is None:
            raise _Unwritable
        return meant if isinstance(meant, str | list) else self.tree(meant)

    def _comparison(self, expr: nodes.Comparison) -> Tree:
        left, whole = self.tree(expr.first), None
        for op, right in expr.rest:
            right = self.tree(right)
            link = compared(op, left, right)
            whole = link if whole is None else ["and", whole, link]
            left = right
        return whole


def compared(op: str, left: Tree, right: Tree) -> Tree:
    """A comparison with three signs: whatever is more is less when it is turned round."""
    if op in (">", ">="):
        op, left, right = op.replace(">", "<"), right, left
    return ["not", ["==", left, right]] if op == "!=" else [op, left, right]


def _called(name: str, parts: list[Tree]) -> Tree:
    if name == "hypot":
        return ["sqrt", ["+", *(["*", part, part] for part in parts)]]
    return [name, *parts]
