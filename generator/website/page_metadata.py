"""What readers may do with a tutorial: its licence's address, and what that licence allows in plain words.

Creative Commons' licences of version 4.0 and CC0 1.0 are known by the short names that they give themselves
(creativecommons.org/share-your-work/cclicenses); any other licence stands as its author wrote it.

What machines are told of a tutorial: schema.org HowTo as JSON-LD, a block of data that no browser runs.
"""
from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from generator.language.front_matter import Credit
from generator.locale import ENGLISH, Locale
from generator.tutorial import Tutorial
from generator.website.prose import plain_prose

_CREATIVE_COMMONS = re.compile(r"CC(?:[ -]?(0)(?:[ -]1\.0)?|[ -](BY(?:-NC)?(?:-SA|-ND)?)[ -](\d\.\d))",
                               re.IGNORECASE)
_WEB_SCHEMES = ("https://", "http://")


def licence_url(licence: str) -> str:
    """Where the licence itself can be read; "" where its name does not tell."""
    if licence.startswith(_WEB_SCHEMES):
        return licence
    found = _CREATIVE_COMMONS.fullmatch(licence)
    if found is None:
        return ""
    if found[1]:
        return "https://creativecommons.org/publicdomain/zero/1.0/"
    return f"https://creativecommons.org/licenses/{found[2].lower()}/{found[3]}/"


def permitted_use(credit: Credit, locale: Locale = ENGLISH) -> str:
    """What a reader may do, in a sentence.

    "" where a licence or a permission is stated that we cannot put in other words.
    """
    found = _CREATIVE_COMMONS.fullmatch(credit.licence)
    if found is not None:
        kind = "zero" if found[1] else found[2].lower().replace("-", "_")
        return locale.say(f"website.rights_{kind}")
    return "" if credit.licence or credit.permission else locale.say("website.rights_unsaid")


SCHEMA_ORG = "https://schema.org"


def howto_json_ld(tutorial: Tutorial, language: str, url: str | None, image: str | None) -> Markup:
    """The data as text for a script element; ``url`` is the page's whole address where it is known."""
    text = json.dumps(howto_data(tutorial, language, url, image), ensure_ascii=False, separators=(",", ":"))
    # "<" alone could end the element (HTML, 4.12.1.3); in a JSON string it may be written by its number.
    return Markup(text.replace("<", "\\u003c"))


def howto_data(tutorial: Tutorial, language: str, url: str | None, image: str | None) -> dict[str, Any]:
    """The data itself (schema.org/HowTo); what nobody said is left out."""
    front = tutorial.front
    data = {
        "@context": SCHEMA_ORG, "@type": "HowTo", "name": front.title, "description": front.summary,
        "url": url,
        "image": image, "inLanguage": language, "totalTime": iso_duration(front.minutes),
        "educationalLevel": front.level, "creditText": front.credit.author,
        "license": licence_url(front.credit.licence),
        "datePublished": _iso_date(front.published),
        "dateModified": _iso_date(front.updated or front.published),
        "version": ", ".join(f"{mark} ({system})" for system, mark in sorted(tutorial.revisions.items())),
        "yield": tutorial.locale.say("website.yield"),
        "supply": [{"@type": "HowToSupply", "name": plain_prose(supply)} for supply in tutorial.supplies],
        "tool": [{"@type": "HowToTool", "name": tool.name} for tool in tutorial.tools],
        "step": [_howto_step(step, url) for step in tutorial.steps],
    }
    return _without_empty(data)


def _howto_step(step: Any, url: str | None) -> Mapping[str, Any]:
    """Its name and where it stands; its words are on the page and need not be on it twice."""
    return {"@type": "HowToStep", "position": step.number,
            "name": plain_prose(step.heading) if step.heading else step.title,
            "url": f"{url or ''}#{step.anchor}"}


def _without_empty(data: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in data.items() if value not in (None, "", [])}


def _iso_date(day: Any) -> str | None:
    return day.isoformat() if day else None


def iso_duration(minutes: int | None) -> str | None:
    """A time as ISO 8601 writes it (4.4.3.2): 80 minutes are PT1H20M."""
    if not minutes:
        return None
    hours, rest = divmod(minutes, 60)
    return "PT" + f"{hours}H" * bool(hours) + f"{rest}M" * bool(rest)
