"""Sources that are sound line by line, and of everything far too much: each would be worked on for ages."""
from __future__ import annotations

from collections.abc import Iterable

_HEAD = """---
title: A sleeve
summary: A sleeve for a bar of soap.
drawn_in: mm
counts: {{sides: 4}}
lengths: {{panel: 60 mm, wall: 80 mm, tab: 10 mm{more}}}
editions:
  within: 40 %
  in: {{panel: 2 1/2 in for 60 mm, wall: 3 in for 80 mm, tab: 3/8 in for 10 mm{other}}}
---

{intro}

## Cut and score

{prose}

```geometry
strip = sheet(width=sides*panel + tab, height={high})
scores = score(strip, x=every(panel, sides))
"""
_GLUED = """walls = faces(strip, x=scores.bays)
tab_face = faces(strip, x=scores.last..right)
folds = fold(scores, mountain)
glue(tab_face, under=walls.first)
"""
_FINE = {"more": ", fine: 5 mm", "other": ", fine: 1/4 in for 5 mm"}
_TALL = {"more": _FINE["more"] + ", tall: 3900 mm", "other": _FINE["other"] + ", tall: 195 in for 3900 mm",
         "high": "max(wall, tall)"}


def _head(intro: str = "Soap wants air.", prose: str = "Score it.", more: str = "", other: str = "",
          high: str = "wall") -> str:
    return _HEAD.format(intro=intro, prose=prose, more=more, other=other, high=high)


def _many(row: str, times: int) -> str:
    """A statement, ``times`` times, each # in it the number of its row."""
    return "\n".join(row.replace("#", str(k + 1)) for k in range(times)) + "\n"


def _fences(rows: Iterable[str], words: str = "Do it.") -> str:
    """A step for each statement."""
    return "```\n" + "".join(f"\n## Step {k}\n\n{words}\n\n```geometry\n{row}\n```\n"
                             for k, row in enumerate(rows))


def _in(part: str, **head: str) -> str:
    return f"{_head(**head)}{part}```\n"


_NESTED = "".join(f"{'  ' * k}- level {k}\n" for k in range(25))
GREEDY = {
    "a fold 400 times": _in(_many("f# = fold(scores, mountain)", 400)),
    "a fold in 400 parts": _in(_many("f# = fold(scores, mountain, y=#*fine..(# + 1)*fine)", 390), **_TALL),
    "a glue 500 times": _in(_GLUED + _many("glue(tab_face, under=walls.first)", 500)),
    "a glue to other walls 500 times": _in(_GLUED + "".join(f"glue(tab_face, under=walls[{1 + k % 4}])\n"
                                                            for k in range(500))),
    "links never closed": _in("", intro="[a](" * 16_000),
    "links in every step": _head(**_FINE) + _fences(_many("s# = score(strip, y=#*fine)", 11).splitlines(),
                                                    "[a](" * 2000),
    "sheets 1000 times": _in(_many("s# = sheet(width=panel, height=wall)", 1000)),
    "sheets 59 times": _in(_many("s# = sheet(width=panel, height=wall)", 59)),
    "sheets with scores": _in("".join(f"s{k} = sheet(width=panel, height=wall)\n"
                                      f"t{k} = score(s{k}, y=every(fine, 11))\n" for k in range(59)),
                                      **_FINE),
    "sheets folded": _in("".join(f"s{k} = sheet(width=panel, height=wall)\n"
                                 f"t{k} = score(s{k}, y=every(fine, 11))\nf{k} = fold(t{k}, mountain)\n"
                                 for k in range(59)), **_FINE),
    "boxes 30 times": _in("".join(
        f"s{k} = sheet(width=4*panel + tab, height=wall)\nt{k} = score(s{k}, x=every(panel, 4))\n"
        f"w{k} = faces(s{k}, x=t{k}.bays)\nu{k} = faces(s{k}, x=t{k}.last..right)\nf{k} = fold(t{k}, "
        "mountain)\n"
        f"glue(u{k}, under=w{k}.first)\n" for k in range(30))),
    "boxes 59 times in steps": _head() + _fences(
        f"s{k} = sheet(width=4*panel + tab, height=wall)\nt{k} = score(s{k}, x=every(panel, 4))\n"
        f"w{k} = faces(s{k}, x=t{k}.bays)\nu{k} = faces(s{k}, x=t{k}.last..right)\nf{k} = fold(t{k}, "
        "mountain)\n"
        f"glue(u{k}, under=w{k}.first)\n" for k in range(59)),
    "boxes glued on each other": _in("".join(
        f"s{k} = sheet(width=4*panel + tab, height=wall)\nt{k} = score(s{k}, x=every(panel, 4))\n"
        f"w{k} = faces(s{k}, x=t{k}.bays)\nu{k} = faces(s{k}, x=t{k}.last..right)\nf{k} = fold(t{k}, "
        "mountain)\n"
        f"glue(u{k}, under=w{k}.first)\n" + (f"glue(w{k}[2], under=w{k - 1}[3])\n" if k else "")
        for k in range(30))),
    "tags 59 times": _in("".join(f"s{k} = sheet(width=panel, height=wall)\n"
                                 f"h{k} = punch(s{k}, x=every(tab, 5), y=tab, diameter=tab/2)\n"
                                 for k in range(38)), **_FINE),
    "steps 390": _head(**_TALL) + _fences(_many("s# = score(strip, y=#*fine)", 390).splitlines()),
    "steps 390 of folds": _head(**_TALL) + _fences(
        _many("f# = fold(scores, mountain, y=#*fine..(# + 1)*fine)", 390).splitlines()),
    "steps 150 of folds": _head(**_TALL) + _fences(
        _many("f# = fold(scores, mountain, y=#*fine..(# + 1)*fine)", 150).splitlines()),
    "steps 390 of scores and folds": _head(**_TALL) + _fences(
        f"s{k} = score(strip, y={k + 1}*fine)\nf{k} = fold(s{k}, mountain)" for k in range(350)),
    "steps 390 of words": _in("") + "".join(f"\n## Step {k}\n\nDo {{{{ panel }}}} of {{{{ wall }}}}.\n\n"
                                           "```geometry\nx# = panel\n```\n".replace("#", str(k))
                                           for k in range(390)),
    "steps 500": _head(**_TALL) + _fences(_many("s# = score(strip, y=#*fine)", 500).splitlines()),
    "steps of 59 pieces": _head() + _fences(_many("s# = sheet(width=panel, height=wall)", 59).splitlines()),
    "score lines 770": _in(_many("s# = score(strip, y=#*fine)", 770), **_TALL),
    "score lines both ways": _in("sheet1 = sheet(width=tall, height=tall)\n" + _many(
        "s# = score(sheet1, y=#*fine)\nt# = score(sheet1, x=#*fine)", 700), **_TALL),
    "score lines 2000": _in(_many("s# = score(strip, y=#*fine)", 1998), **_TALL),
    "score lines 350 folded": _in(
        "".join(f"s{k} = score(strip, y={1 + k}*fine)\ng{k} = fold(s{k}, mountain)\n"
                                          for k in range(350)), **_TALL),
    "pleats 350": _in("sheet1 = sheet(width=panel, height=tall)\nrows = score(sheet1, y=every(fine, 350))\n"
                      "bent = fold(rows, mountain)\n", **_TALL),
    "pleats 8": _in("sheet1 = sheet(width=panel, height=tall)\nrows = score(sheet1, y=every(fine, 8))\n"
                    "bent = fold(rows, mountain)\n", **_TALL),
    "tags 10 times": _in(_many("s# = sheet(width=panel, height=wall)\n"
                               "h# = punch(s#, x=s#.width/2, y=s#.height/2, diameter=tab/2)", 10)),
    "pleats 60": _in("sheet1 = sheet(width=panel, height=tall)\nrows = score(sheet1, y=every(fine, 60))\n"
                     "bent = fold(rows, mountain)\n", **_TALL),
    "pleats 350 by turns": _in(
        "sheet1 = sheet(width=panel, height=tall)\nrows = score(sheet1, y=every(2*fine, 175))\n"
                      "turns = score(sheet1, y=offset(rows, -fine))\nbent = fold(rows, mountain)\nback = "
                      "fold(turns, valley)\n", **_TALL),
    "folds crossing": _in("bent = fold(scores, mountain)\n" + "".join(
        f"s{k} = score(strip, y={5 + 5*k}*fine)\ng{k} = fold(s{k}, mountain)\n" for k in range(70)), **_TALL),
    "an expression of 6000 terms": _in("x = panel" + " + tab" * 6000 + "\n"),
    "an expression of 60 levels": _in("x = " + "(" * 60 + "panel" + ")" * 60 + "\n"),
    "an expression of 6000 levels": _in("x = " + "(" * 6000 + "panel" + ")" * 6000 + "\n"),
    "sums that double": _in("x0 = panel\n" + "".join(f"x{k + 1} = x{k} + x{k}/3\n" for k in range(900))),
    "names in names": _in("x0 = panel\n" + "".join(f"x{k + 1} = x{k}*1\n" for k in range(1900))),
    "roots of roots": _in("x0 = panel\n" + "".join(f"x{k + 1} = sqrt(x{k}*panel)\n" for k in range(1900))),
    "requirements 500": _in(_many("expect(tab <= panel, because=\"the tab # must not show\")", 500)),
    "requirements 1900": _in(_many("expect(tab <= panel, because=\"no # shows\")", 1900)),
    "holes 1400": _in("sheet1 = sheet(width=tall, height=tall)\n" + _many(
        "h# = punch(sheet1, x=every(tab, 35), y=#*tab, diameter=tab/2)", 40), **_TALL),
    "curves 300": _in(_many("c# = score(strip, arc(at(left, #*fine), at(right, #*fine), bulge=5*fine))", 300),
                      **_TALL),
    "curves 60": _in(_many("c# = score(strip, arc(at(left, #*10*fine), at(right, #*10*fine), bulge=5*fine))",
                           60), **_TALL),
    "curves 60 folded": _in(_many("c# = score(strip, arc(at(left, #*10*fine), at(right, #*10*fine), "
                                  "bulge=5*fine))\nd# = fold(c#, mountain)", 60), **_TALL),
    "circles 300": _in(_many("c# = score(strip, circle(at(panel*2, tall/2), diameter=(# + 10)*fine/2))", 300),
                       **_TALL),
    "circles 300 folded": _in(
        _many("c# = score(strip, circle(at(panel*2, tall/2), diameter=(# + 10)*fine/2))\n"
                                    "g# = fold(c#, mountain)", 300), **_TALL),
    "circles cut 200": _in("c = cut(s, circle(at(every(tab, 20), every(tab, 10)), diameter=tab/2))\n".join(
        ("s = sheet(width=tall, height=tall)\n", "")), **_TALL),
    "inserts 500": _in("tag = sheet(width=tab, height=wall)\n"
                       + _GLUED + _many("insert(tag, into=strip)", 500)),
    "inserts 50": _in(_GLUED + _many("tag# = sheet(width=tab, height=wall)\ninsert(tag#, into=strip)", 50)),
    "prose with 3000 measures": _in("", prose=" ".join(["{{ panel }}"] * 3000)),
    "prose with 300 sums": _in("", prose=" ".join(["{{ panel" + " + tab" * 20 + " }}"] * 300)),
    "prose with 3000 sizes": _in("", prose=" ".join(["{{ size(strip) }} and {{ scores.marks }}"] * 1500)),
    "prose with 2000 heights": _in(_GLUED, prose=" ".join(["{{ strip.high }}"] * 2000)),
    "200 kB of words": _in("", intro="Soap wants air. " * 12_000),
    "200 kB of short paragraphs": _in("", intro="Soap *wants* air.\n\n" * 10_000),
    "200 kB of list items": _in("", intro="- Soap wants air\n" * 11_000),
    "20 kB of list items": _in("", intro="- Soap wants air\n" * 1_200),
    "lists apart": _in("", intro="- Soap wants air\n\n" * 10_000),
    "lists in lists": _in("", intro="\n\nwords\n\n".join([_NESTED.replace("  ", "    ")] * 100)),
    "tables": _in("", intro="| a | b |\n| - | - |\n" + "| soap | air |\n" * 1_000),
    "stars": _in("", intro="*a **b " * 5_000),
    "stars 3 kB": _in("", intro="*a **b " * 450),
    "stars apart": _in("", intro="*a **b _c __d\n\n" * 5_000),
    "backticks": _in("", intro="`a ``b " * 5_000),
    "brackets": _in("", intro="[" * 3_000),
    "brackets apart": _in("", intro=("[" * 60 + "\n\n") * 3_000),
    "photos never closed": _in("", intro="![a](" * 2_000),
    "braces": _in("", intro="{{ panel " * 5_000),
    "entities": _in("", intro="&amp;" * 20_000),
    "angle brackets": _in("", intro="<b>" * 20_000),
    "bold apart": _in("", intro="<b>soap</b>\n\n" * 8_000),
    "bold in bold": _in("", intro="<b>" * 400 + "soap" + "</b>" * 400),
    "quotes 25 deep": _in("", intro="> " * 25 + "soap"),
    "quotes 25 deep 2000 times": _in("", intro=("> " * 25 + "soap\n\nwords\n\n") * 2000),
    "lists 29 deep 200 times": _in("", intro=("- " * 25 + "soap\n\nwords\n\n") * 200),
    "references": _in("", intro="".join(f"[a{k}]: https://stall.example/{k}\n\n" for k in range(4_000))
                      + "\n\n".join(f"[a{k}]" for k in range(4_000))),
    "code blocks": _in("", intro="~~~\nx\n~~~\n\n" * 15_000),
    "rules": _in("", intro="---\n\n" * 40_000),
    "headings": _in("", intro="### Soap\n\n" * 20_000),
    "photos 1000": _in("", intro="\n\n".join(f"![a strip](p{k}.png)" for k in range(1_000))),
    "supplies 1000": _in("").replace("drawn_in: mm", "drawn_in: mm\nsupplies: ["
                                     + ", ".join(['"{{ size(sheet1) }}"'] * 90) + "]").replace(
        "strip = ", "sheet1 = sheet(width=panel, height=wall)\nstrip = "),
    "50 lengths that cannot be met": _in(
        "expect(" + " + ".join(f"a{k}" for k in range(1, 51)) + " <= panel, because=\"no\")\n"
        + _many("b# = score(strip, y=a# + 2*fine)", 50),
        more=_FINE["more"] + "".join(f", a{k}: {k + 1} mm" for k in range(1, 51)),
        other=_FINE["other"] + "".join(f", a{k}: {k + 1}/32 in for {k + 1} mm" for k in range(1, 51))),
    "panels round a panel 90": _in(
        "body = panel(ngon(90, side=tab))\nf = attach(body.edges, rectangle(height=wall))\n"
                                   "g = fold(f, valley)\n"),
    "cut away 300": _in(_many("remove(strip, x=fine..4*fine, y=#*5*fine..(#*5 + 2)*fine)", 300), **_TALL),
}
