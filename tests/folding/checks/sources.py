"""Small sound boxes to put one fault into, and what is found in them."""
from __future__ import annotations

from tests.folding.sample_boxes import changed, folded

SIZES = {"front": 60, "side": 40, "wall": 80, "tab": 15, "lap": 10, "dust": 25, "hole": 4, "more": 5,
         "ease": 1}

SLEEVE = """
strip = sheet(width=2*front + 2*side + tab, height=wall, up=printed)
posts = score(strip, x=along(front, side, front, side))
walls = faces(strip, x=posts.bays)
flap = faces(strip, x=posts.last..right, y=bottom..top)
fold(posts, mountain, by=90 deg)
glue(flap, under=walls.first)
"""

ENVELOPE = """
letter = sheet(width=lap + front + lap, height=side + side)
foot = score(letter, y=side)
ends = score(letter, x=group(lap, lap + front), y=foot..top)
remove(letter, x=left..ends.first, y=bottom..foot)
remove(letter, x=ends.last..right, y=bottom..foot)
front_flap = faces(letter, x=ends.first..ends.last, y=bottom..foot)
side_flaps = faces(letter, x=group(left..ends.first, ends.last..right), y=foot..top)
fold(ends, mountain, by=180 deg)
fold(foot, mountain, by=180 deg)
glue(side_flaps, under=front_flap)
"""

TRAY = """
base = panel(rectangle(width=front, height=side))
walls = attach(base.edges, rectangle(height=dust))
seam(walls.edges.each[4], rotated(walls.edges.each[2]))
fold(walls.hinge, mountain, by=90 deg)
"""

LIDDED = """
blank = sheet(width=front + 2*dust, height=2*dust + 2*side + ease + lap, up=printed)
low = score(blank, y=dust, x=dust..dust + front)
back = score(blank, y=dust + side, x=dust..dust + front)
ends = score(blank, x=group(dust, dust + front), y=low..back)
hinge = score(blank, x=ends.first..ends.last, y=2*dust + side)
rims = score(blank, x=group(ends.first - ease/2, ends.last + ease/2), y=hinge..top)
brim = score(blank, y=2*dust + 2*side + ease)
remove(blank, x=left..ends.first, y=bottom..low)
remove(blank, x=ends.last..right, y=bottom..low)
remove(blank, x=left..ends.first, y=back..hinge)
remove(blank, x=ends.last..right, y=back..hinge)
remove(blank, x=left..rims.first - lap, y=hinge..top)
remove(blank, x=rims.last + lap..right, y=hinge..top)
cut(blank, x=rims, y=brim..top)
lid = faces(blank, x=rims.first..rims.last, y=hinge..brim)
slips = faces(blank, x=group(rims.first - lap..rims.first, rims.last..rims.last + lap), y=brim..top)
lip = faces(blank, x=rims.first..rims.last, y=brim..top)
fold(group(ends, low, back), mountain, by=90 deg)
fold(group(rims, brim), mountain, by=90 deg)
glue(slips, under=lip)
fold(hinge, mountain, by=90 deg)
"""

LID_AND_BASE = """
base = panel(rectangle(width=front, height=side))
lid = panel(rectangle(width=front + ease, height=side + ease))
walls = attach(base.edges, rectangle(height=dust))
rims = attach(lid.edges, rectangle(height=lap))
seam(walls.edges.each[4], rotated(walls.edges.each[2]))
seam(rims.edges.each[4], rotated(rims.edges.each[2]))
fold(walls.hinge, mountain)
fold(rims.hinge, mountain)
"""


def found(text: str, *changes: tuple[str, str], **sizes: object) -> list[tuple[str, str]]:
    """The code of each finding and the statement that it stands at, with some words of the text replaced."""
    rows = changed(text, *changes).split("\n")
    done = folded("\n".join(rows), {"sides": 4}, **{**SIZES, **sizes})
    return [(each.code, rows[each.line - 1]) for each in done.findings]
