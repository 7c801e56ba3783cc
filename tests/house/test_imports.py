"""The house is laid out as DEVELOPERS.md says: imports run one way, and stand at the top."""
from __future__ import annotations

from functools import cache

import pytest

from tests.house import imports as house

# room → the rooms it may import (section "The rooms" of DEVELOPERS.md)
MAY_IMPORT = {
    "dataclass": set(),         # a file beside the rooms
    "files": {"dataclass"},
    "findings": {"dataclass", "files"},
    "locale": {"dataclass", "files", "findings"},
    "units": {"dataclass", "files", "findings", "locale"},
    "geometry": {"dataclass", "files", "findings", "locale", "units"},
    "paper": {"dataclass", "files", "findings", "locale", "units", "geometry"},
}
LOWER = {*MAY_IMPORT}
MIDDLE = {"language", "folding", "sheets", "drawing"}
MAY_IMPORT |= {room: LOWER for room in MIDDLE}
MAY_IMPORT["drawing"] = LOWER | {"folding"}         # for folded paper alone, see below
MAY_IMPORT |= {"regauge": LOWER | {"language", "sheets"}, "tutorial": LOWER | MIDDLE | {"regauge"}}
MAY_IMPORT["record"] = MAY_IMPORT["tutorial"] | {"tutorial"}
MAY_IMPORT |= {room: MAY_IMPORT["record"] | {"record"} for room in ("website", "commands")}

LAZY = {"babel", "ezdxf", "fontTools", "num2words", "pikepdf"}      # large, and not always needed
# importer → what it imports inside functions: a build needs it only where a page is not found
# finished, the command line only for the command that is called
LATE = {"generator.files.program_digest": {"importlib.metadata"},
        "generator.commands.main": {f"generator.commands.{name}" for name in (
            "changed", "check", "fit", "fold", "kit", "new", "publish", "reference", "regauge", "reports",
            "template", "translated", "uses", "why")}
            | {"generator.files", "generator.findings"},
        "generator.commands.check": {"generator.record.snapshot"},
        "generator.commands.sources": {"generator.language.source.document", "generator.tutorial",
                                       "generator.tutorial.load"},
        "generator.commands.why": {"generator.tutorial.derivation"},
        "generator.language.source.files_beside": {"PIL"},      # 20 ms, and many tutorials show no photo
        "generator.website.light_svg": {"generator.drawing.backends.svg"},
        "generator.website.recorded_state": {"generator.drawing.templates.page"},
        "generator.website.sources": {"generator.website.tutorial_pages"},
        "generator.website.site_data": {"generator.drawing.backends.stylesheet",
                                        "generator.website.data_page_contents",
                                        "generator.website.downloads"}}
HOSTS = {"mkdocs": {"website", "commands"}, "click": {"commands", "website"}, "svgwrite": {"drawing"},
         "pikepdf": {"drawing"}, "ezdxf": {"drawing"}, "fontTools": {"drawing"},
         "babel": {"locale"}, "num2words": {"locale"},
         "pydantic": {"language", "website"}}   # a library that only these rooms may know

KNOWN = house.modules()


@cache
def every_import() -> tuple[house.Import, ...]:
    """All imports of the package, read once."""
    return tuple(i for name, path in KNOWN.items() for i in house.imports_of(name, path, KNOWN))


def _said(imports) -> list[str]:
    return [f"{KNOWN[i.importer].relative_to(house.ROOT)}:{i.line} imports {i.target}" for i in imports]


def test_every_room_is_on_the_map():
    """A folder of the generator that no arrow names cannot be imported by anybody."""
    rooms = {house.room_of(name) for name in KNOWN} - {None}
    assert rooms <= set(MAY_IMPORT), f"not on the map: {sorted(rooms - set(MAY_IMPORT))}"


def test_rooms_import_one_way():
    """No room imports a room above or beside it; the package itself imports none."""
    wrong = [i for i in every_import() if (target := house.room_of(i.target))
             and target != house.room_of(i.importer)
             and target not in MAY_IMPORT.get(house.room_of(i.importer), set())]
    assert not wrong, "\n".join(_said(wrong))


def test_only_pictures_of_folded_paper_know_of_folding():
    """Step pictures, templates and back ends draw what they are handed, however it was folded."""
    wrong = [i for i in every_import() if i.importer.startswith("generator.drawing.")
             and house.room_of(i.target) == "folding"
             and not i.importer.startswith("generator.drawing.folded.")]
    assert not wrong, "\n".join(_said(wrong))


def test_imports_are_absolute():
    """A relative import would hide which room is meant."""
    wrong = [i for i in every_import() if i.level]
    assert not wrong, "\n".join(_said(wrong))


def test_imports_stand_at_the_top():
    """Inside functions only what is large and most builds never need."""
    wrong = [i for i in every_import() if i.inside and i.target.split(".")[0] not in LAZY
             and i.target not in LATE.get(i.importer, ())]
    assert not wrong, "\n".join(_said(wrong))


def test_no_import_is_made_up_at_run_time():
    """The arrows could not be read off the files otherwise; records are made from their fields alone."""
    wrong = [f"{path}:{line}" for name, path in KNOWN.items() if name != "generator.dataclass"
             for line in house.dynamic_calls(path)]
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("room", sorted({house.room_of(name) for name in KNOWN} - {None}))
def test_files_of_a_room_make_no_circle(room):
    """Within a room too, imports run one way."""
    graph = {name: {i.target for i in every_import() if i.importer == name
                    and house.room_of(i.target) == room}
             for name in KNOWN if house.room_of(name) == room}
    found = house.cycle(graph)
    assert not found, " → ".join(found)


def test_what_a_room_exports_is_taken_from_the_room():
    """Its files may then be cut otherwise without a word to the other rooms."""
    public = {room: house.exported(KNOWN[f"generator.{room}"]) for room in map(house.room_of, KNOWN) if room}
    wrong = [i for i in every_import() if (room := house.room_of(i.target))
             and room != house.room_of(i.importer)
             and i.target != f"generator.{room}" and i.name in public[room]]
    assert public["units"] and not wrong, "\n".join(_said(wrong))


def test_libraries_stay_in_their_rooms():
    """The host is known to the website alone, the pen's SVG library to drawing alone."""
    wrong = [i for i in every_import() if (rooms := HOSTS.get(i.target.split(".")[0]))
             and house.room_of(i.importer) not in rooms]
    assert not wrong, "\n".join(_said(wrong))


def test_the_reader_of_imports_sees_what_it_must(tmp_path):
    """The checks above could fail: a made-up package with every fault shows each of them."""
    room = tmp_path / "generator" / "units"
    room.mkdir(parents=True)
    (room / "__init__.py").write_text("from generator.units.a import x\n__all__ = ['x']\n")
    (room / "a.py").write_text(
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import generator.units.b\n"
                               "def f():\n    from generator import paper\n    import_module('os')\n")
    (room / "b.py").write_text("from generator.units import a\nfrom . import c\n")
    known = house.modules(tmp_path)
    found = [i for name, path in known.items() for i in house.imports_of(name, path, known)]
    assert ("generator.units.a", "generator", True) in {(i.importer, i.target, i.inside) for i in found}
    assert [i.line for i in found if i.level] == [2]
    graph = {name: {i.target for i in found if i.importer == name} for name in known}
    assert set(house.cycle(graph)) == {"generator.units.a", "generator.units.b"}
    assert ("generator.units", "generator.units.a", "x") in {(i.importer, i.target, i.name) for i in found}
    assert house.exported(known["generator.units"]) == {"x"} and not house.exported(
        known["generator.units.a"])
    assert list(house.dynamic_calls(known["generator.units.a"])) == [6]


def test_checks_of_a_box_read_features_only():
    """A check is asked by the whole fold alone: what two of them need is a feature of the folded piece."""
    checks = "generator.folding.checks"
    wrong = [i for i in every_import() if i.target.startswith(f"{checks}.")
             and i.importer != "generator.folding.whole"]
    assert not wrong, "\n".join(_said(wrong))
