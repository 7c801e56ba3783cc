"""All calls that work on paper or draw on it, by what they are for.

A new verb is added here and nowhere else.
"""
from __future__ import annotations

from generator.paper import patterns, shapes
from generator.paper.verbs import assembly, blanks, decoration, marks, nets, requirements

BLANKS = (blanks.sheet, blanks.panel, blanks.ribbon, blanks.inset, decoration.band)
MARKS = (marks.score, marks.tick, marks.cut, marks.perforate, marks.slit, marks.notch, marks.punch,
         marks.remove)
NETS = (nets.attach, nets.free_edges, nets.seam)
ASSEMBLY = (assembly.faces, assembly.fold, assembly.glue, assembly.thread, assembly.gather,
            assembly.turn, assembly.turn_over)
DECORATION = (decoration.clear, decoration.stamp, decoration.emboss)
REQUIREMENTS = (requirements.expect, requirements.finish, requirements.close, requirements.insert,
                requirements.tie)
SHAPES = (shapes.at, shapes.line, shapes.arc, shapes.ellipse, shapes.circle, shapes.polygon, shapes.placed,
          shapes.around)
OUTLINES = (shapes.ngon, shapes.rectangle, shapes.trapezoid, shapes.triangle, shapes.tab, shapes.gore)
PATTERNS = (patterns.every, patterns.along, patterns.midway, patterns.offset, patterns.mirrored,
            patterns.group, patterns.interleaved,
            patterns.rotated, patterns.reversed_order)

# they change the plan: fences only
VERBS = (*BLANKS, *MARKS, *NETS, *ASSEMBLY, *DECORATION, *REQUIREMENTS)
VALUE_CALLS = (*SHAPES, *OUTLINES, *PATTERNS)                # they only give a value

# the words of the trade that stand for themselves
VOCABULARY: frozenset[str] = frozenset((
    "left", "right", "top", "bottom", "middle", "mountain", "valley", "plain", "printed", "opposite",
    "in_turn",
    "quarter", "half", "quarter_back", "flat", "board", "trimmer", "rule", "template", "offcut",
    "crosswise", "clearance"))
# what nothing else may be named; many a box has a length that is called clearance
RESERVED_NAMES = VOCABULARY - {"clearance"}
