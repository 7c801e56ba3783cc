"""What readers may do with a tutorial, by its licence."""
from __future__ import annotations

import pytest

from generator.language.front_matter import Credit
from generator.locale import ENGLISH, locale_for
from generator.website.rights import allowed, licence_address

# The names and addresses by which the licences call themselves (creativecommons.org/licenses, from memory).
KINDS = ("by", "by-sa", "by-nd", "by-nc", "by-nc-sa", "by-nc-nd")


@pytest.mark.parametrize("kind", KINDS)
def test_a_licence_known_by_its_name_leads_to_its_words(kind):
    """Both ways of writing the name; the sentence says what sets it apart from the others, in German too."""
    name = f"CC {kind.upper()} 4.0"
    assert licence_address(name) == licence_address(name.replace(" ", "-")) == f"https://creativecommons.org/licenses/{kind}/4.0/"
    said = allowed(Credit(licence=name))
    assert ("not for gain" in said) == ("nc" in kind)
    assert ("as they are" in said) == ("nd" in kind)
    assert ("let others do the same" in said) == ("sa" in kind)
    assert allowed(Credit(licence=name), locale_for("de")) not in ("", said)


def test_who_gives_everything_away_asks_for_nothing():
    """CC0 has an address of its own, and no designer to be named."""
    assert licence_address("CC0 1.0") == licence_address("CC0") == "https://creativecommons.org/publicdomain/zero/1.0/"
    assert "whatever you like" in allowed(Credit(licence="CC0"))


@pytest.mark.parametrize("name", ["CC BY-XX 4.0", "the stall's own", "CC", "CC BY-SA"])
def test_what_is_not_known_is_not_put_in_other_words(name):
    """No address is made up and nothing is promised."""
    assert licence_address(name) == "" and allowed(Credit(licence=name)) == ""


def test_an_address_is_its_own_and_silence_allows_little():
    """A licence given by its address leads there; without licence or permission a reader is told to ask."""
    assert licence_address("https://stall.example/licence") == "https://stall.example/licence"
    assert allowed(Credit(permission="to publish it here")) == ""
    assert "ask the designer" in allowed(Credit(author="somebody"), ENGLISH)
