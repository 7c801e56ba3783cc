"""The registry: one entry and one sentence for each call, made from the functions themselves."""
from __future__ import annotations

import inspect
import re

import pytest
from click.testing import CliRunner

from generator.commands.reference import calls as calls_command
from generator.language.evaluation import arithmetic, prose_wording
from generator.language.evaluation.application import call_entry
from generator.language.evaluation.registry import FAMILIES, REGISTRY
from generator.paper import verbs
from tests.paper.statement_evaluation import codes, wrong

EVERYTHING = [entry for entry in REGISTRY.values()]


def test_every_call_is_registered_once():
    """All verbs, makers and functions are there under their own names, and none is there twice."""
    made = [*verbs.VERBS, *verbs.VALUE_CALLS, *arithmetic.NUMBER_FUNCTIONS, *prose_wording.PROSE_FUNCTIONS]
    assert len(made) == len(set(made)) == len(REGISTRY)
    assert {entry.function for entry in EVERYTHING} == set(made)
    assert all(entry.name == entry.function.__name__.rstrip("_") for entry in EVERYTHING)
    assert set(REGISTRY).isdisjoint(verbs.VOCABULARY)


def test_the_calls_of_the_design_are_there():
    """Nothing of what the design promises is missing."""
    promised = [
        "sheet", "panel", "score", "tick", "cut", "perforate", "slit", "notch", "remove", "punch", "fold",
        "glue",
        "thread", "gather", "attach", "turn", "turn_over", "expect", "finish", "inset", "free_edges", "seam",
        "faces", "at", "line", "arc", "ellipse", "gore", "rectangle", "polygon", "ngon", "circle", "tab",
        "every", "midway", "offset", "mirrored", "around", "sqrt", "hypot", "sin", "cos", "tan", "atan",
        "abs", "min", "max", "words", "plural", "size", "more_than", "why"]
    assert set(promised) <= set(REGISTRY)


@pytest.mark.parametrize("entry", EVERYTHING, ids=lambda entry: entry.name)
def test_every_call_has_a_sentence(entry):
    """The first paragraph of each help is a sentence in the trade's language."""
    first = " ".join(entry.help.split("\n\n")[0].split())
    assert re.match(r"[A-Z`].*[.…]\Z|[A-Z`].*[a-z]\.\Z", first) and 15 < len(first) < 220, first
    assert "TODO" not in entry.help and not re.search(r"\b(object|tuple|None|param|args|kwargs)\b",
                                                      entry.help)


@pytest.mark.parametrize("entry", EVERYTHING, ids=lambda entry: entry.name)
def test_every_parameter_says_its_kind(entry):
    """What each parameter takes is said in words that begin like a noun.

    Parameters are those of the function.
    """
    taken = [p for p in inspect.signature(entry.function).parameters][1:]
    assert [p.name for p in entry.parameters] == taken
    for parameter in entry.parameters:
        assert re.match(r"(an? |one of |the |any|words |marks|faces|edges|shapes|folds|groups?|punched|plain"
                        r" or|mountain or|opposite or|quarter, half)",
                        parameter.kind.phrase), (parameter.name, parameter.kind.phrase)


@pytest.mark.parametrize("entry", EVERYTHING, ids=lambda entry: entry.name)
def test_the_command_explains_every_parameter(entry):
    """``foldgauge calls NAME`` prints the call, its help, and each parameter with its kind."""
    result = CliRunner().invoke(calls_command, [entry.name])
    assert result.exit_code == 0 and entry.signature() in result.output
    for parameter in entry.parameters:
        assert f"  {parameter.name}: {parameter.kind.phrase}" in result.output
        assert parameter.required or parameter.rest or "(may be left out)" in result.output


def test_the_command_lists_every_call_under_its_family():
    """``foldgauge calls`` prints every signature, where it may stand, and the vocabulary."""
    shown = " ".join(CliRunner().invoke(calls_command, []).output.split())
    for entry in EVERYTHING:
        assert " ".join(entry.signature().split()) in shown
    assert all(family in shown for family, _, _ in FAMILIES)
    assert all(word in shown for word in verbs.VOCABULARY)


def test_an_unknown_call_is_answered_with_the_nearest():
    """The command names it and ends with 2."""
    result = CliRunner().invoke(calls_command, ["scroe"])
    assert result.exit_code == 2 and "score" in result.output


@pytest.mark.parametrize(("text", "code", "hint"), [
    ("u = scroe(p, x=a)", "call-unknown", "did you mean 'score'?"),
    ("u = score(p, z=a)", "call-parameter", "it is written score("),
    ("u = tick(p, x=a, egde=top)", "call-parameter", "did you mean 'edge'?"),
    ("u = score(x=a)", "call-missing", "it is written score("),
    ("u = hypot(a)", "call-missing", "it is written hypot(a, b)"),
    ("u = hypot(a, a, a)", "call-parameter", "it is written hypot(a, b)"),
    ("u = hypot(a, a, b=a)", "call-parameter", "leave one of them out"),
    ("u = sheet(a, height=a)", "call-parameter", "it is written sheet("),
    ("u = tick(p, x=a, edge=middle)", "call-kind", "left, right, top, bottom"),
    ("u = sqrt(top)", "call-kind", ""),
    ("u = words(3)", "call-place", "between {{ and }}")])
def test_calls_that_are_written_wrong(text, code, hint):
    """Unknown calls and parameters, too few or too many values, the wrong kind, the wrong place.

    A hint that mends it.
    """
    found = wrong("p = sheet(width=a, height=a)\n" + text, a=10)
    assert [f.code for f in found] == [code] and hint in found[0].hint


def test_every_problem_of_a_call_is_told_at_once():
    """Two wrong parameters are two findings, each at its own place."""
    found = wrong("p = sheet(width=a, height=a)\nu = score(p, z=a, q=a)", a=10)
    assert [(f.code, f.span.column) for f in found] == [("call-parameter", 14), ("call-parameter", 19)]
    kinds = wrong("p = sheet(width=a, height=a)\nu = score(a, x=p)", a=10)
    assert [(f.code, f.span.column) for f in kinds] == [("call-kind", 11), ("call-kind", 16)]


def test_what_is_wrong_within_an_unknown_call_is_told_too():
    """The call, an unknown name and another call in it; not a name that a failed statement makes."""
    found = wrong("p = sheet(width=a, height=a)\nu = scor(p, y=foott + sqr(a))\nv = scor(p, x=u)", a=10)
    assert [(f.code, f.span.line, f.span.column) for f in found] == [
        ("call-unknown", 2, 5), ("name-unknown", 2, 15), ("call-unknown", 2, 23), ("call-unknown", 3, 5)]


def test_the_language_is_closed():
    """No call and no property leads out of it: not to the functions' insides, not to Python's."""
    for name in ("__import__", "eval", "open", "getattr", "print", "job", "record"):
        assert codes(f"u = {name}(a)", a=10) in (["call-unknown"], ["words-wrong"], ["sign-unknown"])
    for name in ("value", "names", "form", "items", "id", "state"):
        assert codes(f"p = sheet(width=a, height=a)\nu = p.{name}", a=10) == ["attribute-unknown"]
        assert codes(f"u = a.{name}", a=10) == ["attribute-unknown"]


def test_signatures_say_what_may_be_left_out():
    """Brackets around what has a default; dots where any number may stand."""
    def said(name: str) -> str:
        from_source = type("Call", (), {"name": name})
        return call_entry(from_source).signature()
    assert said("hypot") == "hypot(a, b)" and said("every") == "every(step, count, [start=…])"
    assert said("score").startswith("score(piece, [shapes, …], "
                                    "[x=…]")
    assert said("ribbon") == "ribbon(length=…, [width=…], [boxes=…])"
