"""Sources by somebody who means harm: what each says, and what may be in no file that a site publishes."""
from __future__ import annotations

from dataclasses import dataclass

ELSEWHERE = "elsewhere.example"
RUN = "window.ran=1"          # what a script of theirs would do
SECRET = "4711-secret-of-this-machine"


@dataclass(frozen=True)
class Hostile:
    """``text`` stands in a step; ``code`` is the finding that foldgauge check gives it, "" where it is
    harmless as it is, shown as words.
    """

    text: str
    code: str = "html-refused"


# by the name of the trick; the lists of the field: OWASP's cheat sheet on evading filters (from memory)
IN_PROSE = {
    "script": Hostile(f"<script>{RUN}</script>"),
    "script in capitals": Hostile(f"<ScRiPt>{RUN}</sCrIpT>"),
    "script from elsewhere": Hostile(f'<script src="https://{ELSEWHERE}/x.js"></script>'),
    "script without an address of its own": Hostile(f'<script src="//{ELSEWHERE}/x.js"></script>'),
    "script in a block": Hostile(f"<div>\n<script>{RUN}</script>\n</div>"),
    "broken script": Hostile(f"<script\n>{RUN}</script\n>"),
    "handler of a picture": Hostile(f'<img src="x" onerror="{RUN}">'),
    "handler without quotes": Hostile(f"<img src=x onerror={RUN}>"),
    "handler of an allowed mark": Hostile(
        f'<b onmouseover="{RUN}" onfocus="{RUN}" tabindex=1 autofocus>x</b>'),
    "handler behind a slash": Hostile(f"<svg/onload={RUN}>"),
    "handler of details": Hostile(f'<details open ontoggle="{RUN}"><summary>x</summary></details>'),
    "handler of a frame": Hostile(f'<body onload="{RUN}">'),
    "handler of an animation": Hostile(f'<style>@keyframes x{{}}</style><p style="animation:x" '
                                       f'onanimationstart="{RUN}">x</p>'),
    "frame": Hostile(f'<iframe src="https://{ELSEWHERE}/"></iframe>'),
    "frame with a document": Hostile(f'<iframe srcdoc="<script>parent.{RUN}</script>"></iframe>'),
    "frame of a file": Hostile('<iframe src="file:///etc/hostname"></iframe>'),
    "object": Hostile('<object data="data:text/html,x"></object>'),
    "refresh": Hostile(f'<meta http-equiv="refresh" content="0;url=https://{ELSEWHERE}/">'),
    "base": Hostile(f'<base href="https://{ELSEWHERE}/">'),
    "style from elsewhere": Hostile(f'<link rel="stylesheet" href="https://{ELSEWHERE}/x.css">'),
    "own style": Hostile(f"<style>body{{background:url(https://{ELSEWHERE}/x.png)}}</style>"),
    "style of an element": Hostile(f'<b style="background:url(https://{ELSEWHERE}/x.png)">x</b>'),
    "picture from elsewhere": Hostile(f'<img src="https://{ELSEWHERE}/x.png" alt="x">'),
    "set of pictures": Hostile(f'<picture><source srcset="//{ELSEWHERE}/x.png"><img src="x"></picture>'),
    "film": Hostile(f'<video autoplay src="https://{ELSEWHERE}/x.mp4" poster="//{ELSEWHERE}/x.png"></video>'),
    "form": Hostile(f'<form action="https://{ELSEWHERE}/"><input autofocus name="x"></form>'),
    "drawing": Hostile(f'<svg><script>{RUN}</script><image href="//{ELSEWHERE}/x.png"/></svg>'),
    "change of parser": Hostile(f'<math><mtext><table><mglyph><style><!--</style><img title="--&gt;&lt;img '
                                f'src=x onerror={RUN}&gt;">'),
    "noscript": Hostile(f'<noscript><p title="</noscript><img src=x onerror={RUN}>"></noscript>'),
    "template": Hostile(f"<template><img src=x onerror={RUN}></template>"),
    "nested tag": Hostile(f"<scr<script>ipt>{RUN}</scr</script>ipt>"),
    "class of ours": Hostile('<span class="skip">x</span>'),
    "end of the step": Hostile(f"</div></li></ol></article></main><script>{RUN}</script>"),
    "list of attributes": Hostile(f'words\n{{: onclick="{RUN}" style="color: red" .skip }}'),
    "address of a list": Hostile(f'[x](y.md){{: href="javascript:{RUN}" }}'),
    "declaration": Hostile(f'<!DOCTYPE x [<!ENTITY y SYSTEM "file:///etc/hostname">]><?php {RUN} ?>'),
    "script of a link": Hostile(f"[x](javascript:{RUN})", "link-refused"),
    "script by numbers": Hostile(f"[x](&#x6A;ava&#115;cript:{RUN})", "link-refused"),
    "script with a tab": Hostile(f"[x](<java\tscript:{RUN}>)", "link-refused"),
    "script by name": Hostile(f"[x][bad]\n\n[bad]: javascript:{RUN}", "link-refused"),
    "script of an address": Hostile(f"<javascript:{RUN}>", "link-refused"),
    "data": Hostile(f"[x](data:text/html;base64,PHNjcmlwdD4= \"{RUN}\")", "link-refused"),
    "file": Hostile("[x](file:///etc/hostname)", "link-refused"),
    "photo by name": Hostile(f"![x][far]\n\n[far]: https://{ELSEWHERE}/x.png", "link-refused"),
    "title of a link": Hostile(f"[x](https://{ELSEWHERE}/ '\"><script>{RUN}</script>')"),
    "words of a link": Hostile(f"[<img src=x onerror={RUN}>](https://{ELSEWHERE}/)"),
    "code": Hostile(f"`<script>{RUN}</script>`", ""),
    "block of code": Hostile(f"~~~ \"onload={RUN}\n<script>{RUN}</script>\n~~~", ""),
    "template of pages": Hostile("{% include \"/etc/hostname\" %} {# x #}", ""),
    "token": Hostile("\ue0000\ue001\ue00099\ue001 <b title='\ue0000\ue001'>x</b>", ""),
    "number as a tag": Hostile(f"&lt;script&gt;{RUN}&lt;/script&gt;", ""),
}

# in names and titles: words, whatever signs they hold
WORDS = f'"><img src=x onerror={RUN}>\'</script></title><script>{RUN}</script>'

FRONT = """\
---
title: {words}
summary: {words}
drawn_in: mm
lengths: {{panel: 60 mm, high: 80 mm}}
editions:
  in: {{panel: 2 3/8 in, high: 3 1/8 in}}
names: {{panel: {words}}}
supplies: [{words}]
credit: {{author: {words}, source: {words}, licence: {words}, permission: {words}, changes: {words}}}
---
"""

TRANSLATED = """\
---
title: {words}
summary: {words}
supplies: [{words}]
names: {{panel: {words}}}
credit: {{author: {words}}}
---
"""

BODY = """
{words}

## Cut {words}

```geometry
strip = sheet(width=2*panel, height=high)
fold_line = score(strip, x=panel)
```

![{alt}](strip.png "{alt}")

"""


def hostile_tutorial(front: str) -> str:
    """A source in which everything is hostile: the words of its front matter, and a step for each trick."""
    quoted = "'" + WORDS.replace("'", "''") + "'"
    steps = "\n".join(f"## Trick {number}\n\n{each.text}\n"
                      for number, each in enumerate(IN_PROSE.values(), 1))
    alt = WORDS.replace('"', "&quot;")
    return front.format(words=quoted) + BODY.format(words=WORDS, alt=alt) + steps


def sound_with(text: str) -> str:
    """A source that is sound but for ``text`` in its step."""
    return FRONT.format(words="Sleeve") + BODY.format(
        words="Words", alt="The strip") + text + "\n"
