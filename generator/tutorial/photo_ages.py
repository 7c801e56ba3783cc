"""Photos that show a length which is no longer so."""
from __future__ import annotations

from collections.abc import Iterable, Iterator

from generator.findings import Finding, finding
from generator.language.front_matter import FrontMatter
from generator.language.source.front_matter_values import PhotoLength
from generator.language.source.records import Document
from generator.units import as_text, word


def aged_photos(front: FrontMatter, document: Document) -> Iterator[Finding]:
    """A warning for each photo whose lengths have changed, and a finding for photos and lengths that there are none of."""
    used = {photo.src for photo in document.photos}
    for name in dict.fromkeys(shown.photo for shown in front.shown):
        shown = [each for each in front.shown if each.photo == name]
        if name not in used:
            yield finding("photo-missing", shown[0].span, f"no step shows a photo “{name}”",
                          f"its photos are {', '.join(sorted(used))}" if used else "put it into its step, or take it out here")
        yield from _unknown(front, shown)
        yield from _aged(front, name, shown)


def _unknown(front: FrontMatter, shown: Iterable[PhotoLength]) -> Iterator[Finding]:
    for each in shown:
        if each.name not in front.lengths[each.system]:
            yield finding("name-unknown", each.span, f"no length of this design is called “{each.name}”",
                          f"its lengths are {', '.join(front.lengths[front.drawn_in])}")


def _aged(front: FrontMatter, name: str, shown: Iterable[PhotoLength]) -> Iterator[Finding]:
    changed = [each for each in shown if each.name in front.lengths[each.system]
               and front.lengths[each.system][each.name].value != each.size.value]
    if changed:
        told = ", ".join(f"“{each.name}” {as_text(word(each.size, each.system))}, which is now "
                         f"{as_text(word(front.lengths[each.system][each.name], each.system))}" for each in changed)
        yield finding("photo-stale", changed[0].span, f"the photo “{name}” shows {told}",
                      "take the photo again and write what it shows now")
