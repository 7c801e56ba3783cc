"""One slip in a finished tutorial, a step that is gone or a name that cannot be one, is told in few words."""
from __future__ import annotations

import re

import pytest

from generator.findings import Finding, has_errors
from generator.tutorial import load_text
from generator.tutorial.translation import TranslationSource
from tests.language.small_tutorials import BENCHES
from tests.time_limits import sampled
from tests.tutorial.site_tutorials import SHELF

MOST = 3        # findings
SOURCES = {slug: path.read_text(encoding="utf-8") for slug, path in SHELF.items()}
STEPS = {slug: re.split(r"(?m)^(?=## )", text) for slug, text in SOURCES.items()}
DELETED = [(slug, k) for slug, steps in STEPS.items() for k in range(1, len(steps))]
MANY = [("biscuit-bag", 11), ("gable-carrier", 10), ("hinged-box", 10), ("hinged-box", 12), ("tea-drawer", 6),
        ("window-carton", 10)]      # these once gave four to twelve
NAMES = [(slug, name) for slug, text in SOURCES.items()
         for name in dict.fromkeys(re.findall(r"(?m)^([a-z_]+) = ", text))]


def findings(text: str) -> tuple[Finding, ...]:
    """What is wrong with a source."""
    return load_text(text, "box.md", BENCHES).findings


@pytest.mark.parametrize(("slug", "step"), dict.fromkeys([*MANY, *sampled(DELETED, 8)]))
def test_a_deleted_step_is_told_in_three_findings(slug, step):
    """Whatever the steps behind it make of it."""
    steps = STEPS[slug]
    found = findings("".join(steps[:step] + steps[step + 1:]))
    assert len(found) <= MOST, found


@pytest.mark.parametrize(("slug", "name"), sampled(NAMES, 8))
def test_a_name_with_a_strange_letter_is_told_in_three_findings(slug, name):
    """Where it is made alone, and wherever it is used."""
    for pattern in (rf"(?m)^{name}(?= = )", rf"(?<![\w.]){name}(?!\w)"):
        found = findings(re.sub(pattern, f"{name[:-1]}é", SOURCES[slug]))
        assert has_errors(found) and len(found) <= MOST, found


BROKEN = """\
---
title: A sleeve: for tea
drawn_in: mm
lengths: {panel: 30 mm}
---

Soap <script>x</script> wants air, and [a link](javascript:x).

## Cut

Cut {{ size(strip }} of it.

```geometry
strip = sheet(width=4*panel, height=panel
```

![The strip](gone.jpg)

##

![](there.jpg)
"""
GERMAN = """\
---
title: Hülse
---

<b onclick="x">Seife</b>
"""


def test_broken_front_matter_hides_nothing_that_can_be_told_without_it():
    """Prose, links, braces, fences, photos and steps are judged all the same, translations too; names, which
    it would make, are not missed.
    """
    loaded = load_text(BROKEN, "box.md", BENCHES, exists="there.jpg".__eq__,
                       translations=[TranslationSource("de", "box.de.md", GERMAN)])
    found = [(each.file, each.line, each.code) for each in loaded.findings]
    assert found == [("box.de.md", 5, "html-refused"),
        ("box.md", 2, "front-broken"), ("box.md", 7, "html-refused"), ("box.md", 7, "link-refused"),
        ("box.md", 11, "words-wrong"), ("box.md", 17, "photo-missing"), ("box.md", 19, "step-untitled"),
        ("box.md", 21, "photo-unworded")]
    assert "line 14" in loaded.findings[4].message
