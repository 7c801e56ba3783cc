"""What machines are told of a tutorial: schema.org HowTo as JSON-LD, a block of data that no browser runs."""
from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from generator.tutorial import Tutorial
from generator.website.plain import plain
from generator.website.rights import licence_address

CONTEXT = "https://schema.org"


def howto(tutorial: Tutorial, language: str, url: str | None, image: str | None) -> Markup:
    """The data as text for a script element; ``url`` is the page's whole address where it is known."""
    text = json.dumps(howto_data(tutorial, language, url, image), ensure_ascii=False, separators=(",", ":"))
    # "<" alone could end the element (HTML, 4.12.1.3); in a JSON string it may be written by its number.
    return Markup(text.replace("<", "\\u003c"))


def howto_data(tutorial: Tutorial, language: str, url: str | None, image: str | None) -> dict[str, Any]:
    """The data itself (schema.org/HowTo); what nobody said is left out."""
    front = tutorial.front
    data = {
        "@context": CONTEXT, "@type": "HowTo", "name": front.title, "description": front.summary, "url": url,
        "image": image, "inLanguage": language, "totalTime": period(front.minutes),
        "educationalLevel": front.level, "creditText": front.credit.author, "license": licence_address(front.credit.licence),
        "datePublished": _day(front.published), "dateModified": _day(front.updated or front.published),
        "version": tutorial.revision,
        "supply": [{"@type": "HowToSupply", "name": plain(supply)} for supply in tutorial.supplies],
        "tool": [{"@type": "HowToTool", "name": tool.name} for tool in tutorial.tools],
        "step": [_step(step, url) for step in tutorial.steps],
    }
    return _said(data)


def _step(step: Any, url: str | None) -> Mapping[str, Any]:
    title = plain(step.heading) if step.heading else step.title
    return _said({"@type": "HowToStep", "position": step.number, "name": title, "text": plain(step.prose) or title,
                  "url": f"{url}#{step.anchor}" if url else None})


def _said(data: Mapping[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in data.items() if value not in (None, "", [])}


def _day(day: Any) -> str | None:
    return day.isoformat() if day else None


def period(minutes: int | None) -> str | None:
    """A time as ISO 8601 writes it (4.4.3.2): 80 minutes are PT1H20M."""
    if not minutes:
        return None
    hours, rest = divmod(minutes, 60)
    return "PT" + f"{hours}H" * bool(hours) + f"{rest}M" * bool(rest)
