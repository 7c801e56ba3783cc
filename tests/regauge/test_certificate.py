"""The certificate, and the short verifier that knows nothing of the search."""
from __future__ import annotations

import ast
import json
import subprocess
import sys
from copy import deepcopy
from fractions import Fraction
from pathlib import Path

import pytest

from generator.regauge import result_data
from generator.regauge import verify as module
from generator.regauge.verify import verify
from tests.regauge.sample_boxes import CADDY, INCH, SMALL, answer, sheet_of, six, wish
from tests.time_limits import alternating

FILE = Path(module.__file__)
NET = sheet_of("long: 90 mm, rise: 30 mm, splay: 8 mm, ease: 2 mm",
               "slant = hypot(splay, rise)\nlean = atan(splay/rise)\n"
               "strip = sheet(width=long + 2*rise, height=long - rise + ease)\n"
               "edges = score(strip, x=along(rise, long))\n"
               "expect(lean <= 20 deg)\nexpect(slant != rise and not slant > long)\nexpect(ease >= "
               "4*card.thickness, clearance)\n"
               "finish(width=long + 2*splay, height=sqrt(slant*slant - splay*splay))")


def certified(text: str, *yields, **asked) -> dict:
    """The certificate of a source as a reader of the file has it."""
    return json.loads(json.dumps(result_data(answer(text, wish(*yields, **asked)), "box.md")))["certificate"]


@pytest.mark.parametrize(("path", "prefer"), alternating(SMALL, ["close", "friendly"]), ids=str)
def test_every_small_source_is_certified(path, prefer):
    """The verifier agrees, whatever was preferred."""
    assert verify(certified(path.read_text(encoding="utf-8"), prefer=prefer)) == []


def test_roots_angles_and_clearances_are_worked_out_again():
    """Requirements and finished sizes are checked from their own expressions, not on trust."""
    proof = certified(NET)
    assert len(proof["choices"]) == 5 and all(need["tree"] for need in proof["needs"])
    assert {need["kind"] for need in proof["needs"]} == {"requirement", "clearance"}
    assert verify(proof) == []


LACED = sheet_of("long: 90 mm, high: 40 mm, lace: 700 mm",
                 "strip = sheet(width=long, height=high, paper=card)\nlace_piece = ribbon(length=lace)\n"
                 "expect(lace >= 7*long)")


@pytest.mark.parametrize("prefer", ["close", "friendly"])
def test_choices_differ_in_the_box(prefer):
    """Of choices that differ in their ribbon alone the best one is told; so says the verifier, which sees it
    where a better ribbon, or a better box, is left out, or one is told twice.
    """
    proof = certified(LACED, prefer=prefer)
    boxes = [(each["values"]["long"], each["values"]["high"]) for each in proof["choices"]]
    assert proof["ribbons"] == ["lace"] and len(set(boxes)) == len(boxes) == 5
    assert verify(proof) == []
    longer = json.loads(json.dumps(proof))
    longer["choices"][4]["values"]["lace"] = str(Fraction(longer["choices"][4]["values"]["lace"]) + INCH / 2)
    assert any("better choice" in each for each in verify(longer))
    del proof["choices"][1]
    assert any("better choice" in each for each in verify(proof))


@pytest.mark.parametrize("grain", ["any", "along"])
def test_yields_are_certified(grain):
    """What a sheet cannot give is stated for the sizes that failed, with and without grain."""
    text = six(47).replace("thickness: 0.26 mm", f"thickness: 0.26 mm, grain: {grain}")
    proof = certified(text, ("12x12 in", 2), ("letter", 1))
    assert verify(proof) == [] and proof["choices"]


def _off_the_grid(proof: dict) -> None:
    values = proof["choices"][0]["values"]
    values["tab"] = str(Fraction(values["tab"]) + Fraction(1, 10))


def _out_of_its_window(proof: dict) -> None:
    values = proof["choices"][-1]["values"]
    values["tab"] = str(Fraction(values["tab"]) * 4)


def _without_the_best(proof: dict) -> None:
    del proof["choices"][0]
    proof["asked"] -= 1


def _turned_round(proof: dict) -> None:
    proof["choices"].reverse()


def _miscounted(proof: dict) -> None:
    proof["counts"]["covered"] += 1


def _coarser_lattice(proof: dict) -> None:
    row = proof["lattice"]["rows"][-1]
    row[-1] *= 2


def _lattice_of_others(proof: dict) -> None:
    proof["lattice"]["made"][0][0] += 1


def _congruence_more(proof: dict) -> None:
    proof["congruences"].append({"form": {"tab": "1"}, "step": "635/16", "says": "nobody"})


def _need_more(proof: dict) -> None:
    proof["needs"].append({"says": "nobody", "kind": "requirement", "tree": ["<", ["of", "panel"], "40"]})


@pytest.mark.parametrize("forged",
                         [_off_the_grid, _out_of_its_window, _without_the_best, _turned_round, _miscounted,
                                    _coarser_lattice, _lattice_of_others, _congruence_more, _need_more])
def test_whatever_is_forged_is_found(forged):
    """Each part of the certificate can be wrong by itself, and the verifier says so."""
    proof = certified(six())
    assert verify(proof) == []
    forged(copied := deepcopy(proof))
    assert verify(copied) and verify(proof) == []


def test_a_choice_that_failed_in_full_is_no_better_choice():
    """What was worked out and failed is on the list of the rejected, and the verifier takes that on trust."""
    text = sheet_of("panel: 30 mm, wall: 60 mm", "strip = sheet(width=4*panel, height=wall)\n"
                    "panels = score(strip, x=every(panel, 3))\nexpect(strip.width >= "
                    "2*wall)\nfinish(width=panel, height=wall)")
    proof = certified(text)
    assert proof["rejected"] and "not at least" in proof["rejected"][0]["by"][0]
    assert verify(proof) == []
    del proof["rejected"][0]
    assert any("better choice" in each for each in verify(proof))


def test_it_is_run_by_itself(tmp_path):
    """As a program: silence of errors is status 0, and what is wrong is printed with status 1."""
    proof, file = certified(six()), tmp_path / "proof.json"
    file.write_text(json.dumps(proof))
    done = [subprocess.run([sys.executable, FILE, file], capture_output=True, text=True)]
    proof["counts"]["covered"] += 1
    file.write_text(json.dumps(proof))
    done.append(subprocess.run([sys.executable, FILE, file], capture_output=True, text=True))
    assert (done[0].returncode, done[0].stdout.strip()) == (0, "the certificate holds")
    assert done[1].returncode == 1 and "points" in done[1].stderr


def test_the_verifier_is_short_and_stands_alone():
    """At most a hundred lines, and not one import of this project."""
    text = FILE.read_text(encoding="utf-8")
    assert text.count("\n") <= 100
    names = {alias.name for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Import)
             for alias in node.names}
    names |= {str(node.module).split(".")[0] for node in ast.walk(ast.parse(text))
              if isinstance(node, ast.ImportFrom)}
    assert names <= set(sys.stdlib_module_names)


def test_too_many_points_are_said_to_be(monkeypatch):
    """Beyond its stated bound the verifier does not claim to have tried everything."""
    monkeypatch.setattr(module, "MOST", 200)
    assert "200 steps" in verify(certified(CADDY.read_text(encoding="utf-8")))[-1]
