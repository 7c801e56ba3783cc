"""What readers may do with a tutorial: its licence's address, and what that licence allows in plain words.

Creative Commons' licences of version 4.0 and CC0 1.0 are known by the short names that they give themselves
(creativecommons.org/share-your-work/cclicenses); any other licence stands as its author wrote it.
"""
from __future__ import annotations

import re

from generator.language.front_matter import Credit
from generator.locale import ENGLISH, Locale

_NAME = re.compile(r"CC(?:[ -]?(0)(?:[ -]1\.0)?|[ -](BY(?:-NC)?(?:-SA|-ND)?)[ -](\d\.\d))", re.IGNORECASE)
_WEB = ("https://", "http://")


def licence_address(licence: str) -> str:
    """Where the licence itself can be read; "" where its name does not tell."""
    if licence.startswith(_WEB):
        return licence
    found = _NAME.fullmatch(licence)
    if found is None:
        return ""
    if found[1]:
        return "https://creativecommons.org/publicdomain/zero/1.0/"
    return f"https://creativecommons.org/licenses/{found[2].lower()}/{found[3]}/"


def allowed(credit: Credit, locale: Locale = ENGLISH) -> str:
    """What a reader may do, in a sentence; "" where a licence or a permission is stated that we cannot put in other words."""
    found = _NAME.fullmatch(credit.licence)
    if found is not None:
        kind = "zero" if found[1] else found[2].lower().replace("-", "_")
        return locale.say(f"website.rights_{kind}")
    return "" if credit.licence or credit.permission else locale.say("website.rights_unsaid")
