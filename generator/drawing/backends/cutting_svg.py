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


def cutting_svg(sheaf: ProcessLines, title: str, description: str, locale: Locale = ENGLISH) -> str:
    """The text of the file. Width, height and viewBox are in mm, so that 1 unit is 1 mm."""
    wide, high = figure(sheaf.width), figure(sheaf.height)
    root = svgwrite.Drawing(size=(f"{wide}mm", f"{high}mm"), viewBox=f"0 0 {wide} {high}", debug=False)
    root.elements.clear()       # an empty defs element
    root.set_desc(title, description)
    data = PathData(sheaf.height)
    for process in sheaf.processes:
        group = Group(id=process.key, fill="none", stroke=process.colour, stroke_width=figure(HAIR), debug=False)
        group.set_desc(locale.say(f"templates.process.{process.key}"))
        for path in sheaf.paths[process.key]:
            group.add(PathElement(data.path(path), debug=False))
        root.add(group)
    tree = root.get_xml()
    for unused in ("xmlns:ev", "xmlns:xlink", "baseProfile"):
        tree.attrib.pop(unused, None)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + ElementTree.tostring(tree, encoding="unicode") + "\n"
