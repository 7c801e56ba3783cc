"""What readers may do with a tutorial, by its licence."""
from __future__ import annotations

import pytest

from generator.language.front_matter import Credit
from generator.locale import ENGLISH, locale_for
from generator.website.page_metadata import licence_url, permitted_use

# The names and addresses by which the licences call themselves (creativecommons.org/licenses, from memory).
KINDS = ("by", "by-sa", "by-nd", "by-nc", "by-nc-sa", "by-nc-nd")


@pytest.mark.parametrize("kind", KINDS)
def test_a_licence_known_by_its_name_leads_to_its_words(kind):
    """Both ways of writing the name; the sentence says what sets it apart from the others, in German too."""
    name = f"CC {kind.upper()} 4.0"
    assert licence_url(name) == licence_url(name.replace(" ",
                                                         "-")) == f"https://creativecommons.org/licenses/{kind}/4.0/"
    said = permitted_use(Credit(licence=name))
    assert ("not for gain" in said) == ("nc" in kind)
    assert ("as they are" in said) == ("nd" in kind)
    assert ("let others do the same" in said) == ("sa" in kind)
    assert permitted_use(Credit(licence=name), locale_for("de")) not in ("", said)


def test_who_gives_everything_away_asks_for_nothing():
    """CC0 has an address of its own, and no designer to be named."""
    assert licence_url("CC0 1.0") == licence_url(
        "CC0") == "https://creativecommons.org/publicdomain/zero/1.0/"
    assert "whatever you like" in permitted_use(Credit(licence="CC0"))


@pytest.mark.parametrize("name", ["CC BY-XX 4.0", "the stall's own", "CC", "CC BY-SA"])
def test_what_is_not_known_is_not_put_in_other_words(name):
    """No address is made up and nothing is promised."""
    assert licence_url(name) == "" and permitted_use(Credit(licence=name)) == ""


def test_an_address_is_its_own_and_silence_allows_little():
    """A licence given by its address leads there; without licence or permission a reader is told to ask."""
    assert licence_url("https://stall.example/licence") == "https://stall.example/licence"
    assert permitted_use(Credit(permission="to publish it here")) == ""
    assert "ask the designer" in permitted_use(Credit(author="somebody"), ENGLISH)
