"""The cutting file as SVG: mm, one group a process, true arcs, closed outlines."""
from __future__ import annotations

from xml.etree import ElementTree

import svgwrite
from svgwrite.container import Group
from svgwrite.path import Path as PathElement

from generator.drawing.backends.svg import PathData, figure
from generator.drawing.templates.cutting import ProcessLines
from generator.locale import ENGLISH, Locale

HAIR = 0.1      # mm: the middle of the line is what counts
# Of the palette of Okabe and Ito those that show at 3:1 on white; a machine tells processes apart by them.
COLOURS = {"score-mountain": "#0072b2", "score-valley": "#009e73", "score": "#0072b2", "tick": "#0072b2",
           "punch": "#cc79a7", "cut": "#d55e00", "outline": "#000000"}


def cutting_svg(sheaf: ProcessLines, title: str, description: str, locale: Locale = ENGLISH) -> str:
    """The text of the file. Width, height and viewBox are in mm, so that 1 unit is 1 mm."""
    wide, high = figure(sheaf.width), figure(sheaf.height)
    root = svgwrite.Drawing(size=(f"{wide}mm", f"{high}mm"), viewBox=f"0 0 {wide} {high}", debug=False)
    root.elements.clear()       # an empty defs element
    root.set_desc(title, description)
    data = PathData(sheaf.height)
    for process in sheaf.processes:
        group = Group(id=process, fill="none", stroke=COLOURS[process], stroke_width=figure(HAIR), debug=False)
        group.set_desc(locale.say(f"templates.process.{process}"))
        for path in sheaf.paths[process]:
            group.add(PathElement(data.path(path), debug=False))
        root.add(group)
    tree = root.get_xml()
    for unused in ("xmlns:ev", "xmlns:xlink", "baseProfile"):
        tree.attrib.pop(unused, None)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(tree, encoding="unicode") + "\n"
