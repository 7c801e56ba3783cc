"""Photos that show what has changed since they were taken: found, and said below them."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from generator.findings import Finding, finding
from generator.language.front_matter import FrontMatter
from generator.language.source.front_matter_values import ShownMeasure
from generator.language.source.records import Document
from generator.locale import Locale
from generator.tutorial.records import Photo, Prose
from generator.units import as_text, display_measure, distinct_texts


def stale_photos(front: FrontMatter, document: Document) -> Iterator[Finding]:
    """A warning for each photo whose measures have changed; a finding for unknown photos and names."""
    used = {photo.src for photo in document.photos}
    for name in dict.fromkeys(shown.photo for shown in front.shown):
        shown = [each for each in front.shown if each.photo == name]
        if name not in used:
            yield finding("photo-missing", shown[0].span, f"no step shows a photo “{name}”",
                          f"its photos are {', '.join(sorted(used))}" if used
                          else "put it into its step, or take it out here")
        for each in shown:
            if not _is_known(front, each):
                yield finding("name-unknown", each.span, _unknown(front, each), _known_names(front))
        if changed := [each for each in shown if _has_changed(front, each)]:
            told = ", ".join("“{}” {}, which is now {}".format(each.name, *_texts(front, each))
                             for each in changed)
            yield finding("photo-stale", changed[0].span, f"the photo “{name}” shows {told}",
                          "take the photo again and write what it shows now")


def captioned(prose: Prose, front: FrontMatter, locale: Locale) -> Prose:
    """The same prose, with what each photo in it still shows said below the photo."""
    return tuple(_captioned(part, front, locale) if isinstance(part, Photo) else part for part in prose)


def _captioned(photo: Photo, front: FrontMatter, locale: Locale) -> Photo:
    changed = [each for each in front.shown if each.photo == photo.src and _has_changed(front, each)]
    if not changed:
        return photo
    what = locale.join([locale.say("tutorial.stale.measure", name=locale.name(each.name), shown=shown,
                                   now=now)
                        for each in changed for shown, now in (_texts(front, each, locale),)])
    return replace(photo, title=" ".join(filter(None,
                                                (photo.title, locale.say("tutorial.stale.photo",
                                                                         what=what)))))


def _is_known(front: FrontMatter, each: ShownMeasure) -> bool:
    return each.name in (front.counts if each.size is None else front.lengths[each.system])


def _unknown(front: FrontMatter, each: ShownMeasure) -> str:
    if each.size is None and each.name in front.lengths["mm"]:
        return f"“{each.name}” is a length, and {each.count} alone has no unit"
    return f"no {'count' if each.size is None else 'length'} of this design is called “{each.name}”"


def _known_names(front: FrontMatter) -> str:
    return f"its names are {', '.join((*front.counts, *front.lengths[front.drawn_in]))}"


def _has_changed(front: FrontMatter, each: ShownMeasure) -> bool:
    if not _is_known(front, each):
        return False
    if each.size is None:
        return front.counts[each.name] != each.count
    return front.lengths[each.system][each.name].value != each.size.value


def _texts(front: FrontMatter, each: ShownMeasure, locale: Locale | None = None) -> tuple[str, str]:
    """What the photo shows, and what that is now."""
    if each.size is None:
        return str(each.count), str(front.counts[each.name])
    sizes = each.size, front.lengths[each.system][each.name]
    if locale is None:
        shown, now = distinct_texts(sizes, each.system)
        return shown, now
    shown, now = (as_text(display_measure(size, each.system), locale) for size in sizes)
    return shown, now
