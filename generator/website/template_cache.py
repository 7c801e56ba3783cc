"""The templates of a tutorial, kept from one build to the next."""
from __future__ import annotations

import json
from dataclasses import asdict

from generator.tutorial import Tutorial
from generator.tutorial.template_files import TemplateFile, TemplateSet, template_files
from generator.website.build_cache import CachedResults


def cached_templates(tutorial: Tutorial, kept: CachedResults) -> TemplateSet:
    """The files that go with a tutorial.

    Those of which something is to be said are made each time, to say it.
    """
    data = kept.found("templates")
    if data is not None:
        return _unpack_templates(data)
    result = template_files(tutorial)
    if not result.findings:
        kept.put("templates", _pack_templates(result))
    return result


def _pack_templates(templates: TemplateSet) -> bytes:
    """A line that lists the files, then their bytes one after the other."""
    listed = [{**asdict(each), "data": len(each.data)} for each in templates.files]
    return json.dumps(listed).encode() + b"\n" + b"".join(each.data for each in templates.files)


def _unpack_templates(data: bytes) -> TemplateSet:
    head, _, rest = data.partition(b"\n")
    files, at = [], 0
    for row in json.loads(head):
        size = row.pop("data")
        files.append(TemplateFile(data=rest[at:at + size], **row))
        at += size
    return TemplateSet(tuple(files))
