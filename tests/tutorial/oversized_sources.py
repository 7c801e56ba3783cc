"""Sources that ask for more than any box can need: each would work for minutes if nobody counted."""
from __future__ import annotations

_HEAD = """---
title: A sleeve
drawn_in: mm
counts: {sides: 4}
lengths: {panel: 30 mm, wall: 60 mm, tab: 10 mm}
editions: {in: {panel: 1 1/4 in, wall: 2 1/2 in, tab: 3/8 in}}
---

## Cut and score

```geometry
strip = sheet(width=sides*panel + tab, height=wall)
"""


def _many(row: str, times: int) -> str:
    """A statement, ``times`` times, each # in it the number of its row."""
    return "\n".join(row.replace("#", str(k)) for k in range(times))


_FINE = "fine = strip.width/1001\np = score(strip, x=every(fine, 1000))\n"
_PARTS = {
    "sums of fine fractions": "x = panel" + "/999999999989"*35 + "\na = every(x, 1000)\n"
    + _many("c# = a" + " + a"*50, 10),
    "sums of groups": "a = every(tab, 1000)\n" + _many("c# = a" + " + a"*60, 30),
    "calls on groups": "a = every(tab, 1000)\n" + _many("c# = hypot(a, hypot(a, a))", 100),
    "groups of groups": "a = every(tab, 1000)\n" + _many("c# = every(a, 1000)", 30),
    "scores of both ways": _FINE + "q = score(strip, y=every(strip.height/401, 400))",
    "curves": "c = around(circle(at(2*panel, wall/2), diameter=2*tab), centre=at(2*panel + tab/4, wall/2), "
              "count=300)\n"
              "t = score(strip, c)\nu = cut(strip, around(circle(at(2*panel, wall/2), diameter=3*tab), "
              "centre=at(2*panel + tab/4, wall/2), count=300))",
    "areas cut away": "fine = strip.width/801\nremove(strip, x=panel..panel + fine, y=bottom..tab)\n"
                      "p = score(strip, x=every(fine, 800))\nremove(strip, x=p.bays.odd, y=tab/2..tab)",
    "notches": "fine = strip.width/201\nnotch(strip, edge=top, at=every(fine, 200), width=fine/2, depth=tab)",
    "windows": "remove(strip, around(circle(at(panel, wall/2), diameter=tab/3), centre=at(2*panel, wall/2), "
               "count=200))",
    "faces": _FINE + _many("w# = faces(strip, x=p.bays)", 60),
    "faces of a jagged strip": "fine = strip.width/501\np = score(strip, x=every(fine, 500))\n"
                               "remove(strip, x=p.bays.odd, y=bottom..tab)\n"
                               + _many("w# = faces(strip, x=p.bays)", 20),
    "folds": _FINE + _many("w# = fold(p, mountain, y=bottom..tab)", 100),
    "folds that are asked": _FINE + "w = fold(p, mountain)\n" + _many("s# = w.seen", 50),
    "bays": _FINE + _many("s# = p.bays.middle", 100),
    "panels round a panel": "body = panel(ngon(100, side=tab/100))\nf = attach(body.edges, "
                            "rectangle(height=wall))\n"
                            "g = attach(f.edges.each[3], rectangle(height=wall))\n"
                            "h = attach(g.edges.each[3], rectangle(height=wall))\ne = free_edges(body)",
    "gores": "body = panel(ngon(100, side=tab/10))\n"
             "f = attach(body.edges, gore(radius=tab/20/tan(180 deg/100), gores=100))\n"
             + _many("e# = free_edges(body)", 50),
    "a chain of panels": "body = panel(rectangle(width=tab, height=tab/10))\nf0 = attach(body.edges[3], "
                         "rectangle(height=tab/10))\n"
                         + "\n".join(f"f{k} = attach(f{k - 1}.edges[3], rectangle(height=tab/10))"
                                     for k in range(1, 400)),
    "liners": "body = panel(ngon(100, side=tab))\n" + _many("l# = inset(body, by=tab/1000)", 200),
    "turns": _many("turn(strip, quarter)", 1900),
    "a wild polygon": "p = score(strip, polygon("
                      + ", ".join(f"at({k + 1}/1000*panel, {k*7919 % 997 + 1}/1000*wall)"
                                  for k in range(900)) + "))",
    "a wild window": "remove(strip, polygon("
                     + ", ".join(f"at({k + 1}/1000*panel, {k*7919 % 997 + 1}/1000*wall)" for k in range(300))
                     + "))",
}

HEAVY = {name: f"{_HEAD}{part}\n```\n" for name, part in _PARTS.items()}
HEAVY["expressions in prose"] = HEAVY["sums of groups"].replace(
    "\n```\n", "\n```\n" + "".join(f"\n{{{{ (a{' + a'*50}).count }}}} and {{{{ every(panel, 1000) }}}}\n"
                                   for _ in range(300)))
HEAVY["as many lengths as there can be"] = _HEAD.replace("lengths: {",
                                                         "lengths: {" + "".join(
                                                             f"a{k}: {k + 1} mm, " for k in range(
                                                                 97))) + "```\n"
HEAVY["lengths without end"] = _HEAD.replace("lengths: {",
                                             "lengths: {" + "".join(f"a{k}: {k + 1} mm, "
                                                                    for k in range(1500))) + "```\n"
