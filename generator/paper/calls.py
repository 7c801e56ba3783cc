"""All calls that work on paper or draw on it, by what they are for. A new verb is added here and nowhere else."""
from __future__ import annotations

from generator.paper import assembling, blanks, decorating, nets, outlines, patterns, shapes, working

BLANKS = (blanks.sheet, blanks.panel, blanks.ribbon, blanks.inset, decorating.band)
WORK = (working.score, working.tick, working.cut, working.slit, working.notch, working.punch, working.remove)
NETS = (nets.attach, nets.free_edges, nets.seam)
ASSEMBLY = (assembling.faces, assembling.fold, assembling.glue, assembling.thread, assembling.gather,
            assembling.turn, assembling.turn_over)
DECORATION = (decorating.clear, decorating.stamp, decorating.emboss)
KEEP = (assembling.expect, assembling.finish)
SHAPES = (shapes.at, shapes.line, shapes.arc, shapes.ellipse, shapes.circle, shapes.polygon, shapes.placed,
          shapes.around)
OUTLINES = (outlines.ngon, outlines.rectangle, outlines.trapezoid, outlines.triangle, outlines.tab, outlines.gore)
PATTERNS = (patterns.every, patterns.along, patterns.midway, patterns.offset, patterns.mirrored, patterns.group,
            patterns.rotated, patterns.reversed_order)

VERBS = (*BLANKS, *WORK, *NETS, *ASSEMBLY, *DECORATION, *KEEP)       # they change the plan: fences only
MAKERS = (*SHAPES, *OUTLINES, *PATTERNS)                # they only give a value

# the words of the trade that stand for themselves; nothing else may be named so
VOCABULARY: frozenset[str] = frozenset((
    "left", "right", "top", "bottom", "middle", "mountain", "valley", "plain", "printed", "opposite", "in_turn",
    "quarter", "half", "quarter_back", "flat", "board", "trimmer", "rule", "template", "offcut"))
