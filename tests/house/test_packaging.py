"""A fresh clone installs, and what is installed is what the files say."""
from __future__ import annotations

import re
import sys
import tomllib
from importlib import metadata

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from packaging.version import Version

from tests.house import imports as house
from tests.house.tracked_files import ROOT

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
WANTED = [Requirement(text) for text in PROJECT["dependencies"] + PROJECT["optional-dependencies"]["test"]]
PINS = [line for line in (ROOT / "constraints.txt").read_text(encoding="utf-8").split("\n")
        if line and not line.startswith("#")]
PINNED = {canonicalize_name(name): Version(version) for name, version in (pin.split("==") for pin in PINS)}


@pytest.mark.parametrize(("group", "name"),
                         [("console_scripts", "foldgauge"), ("mkdocs.plugins", "foldgauge")])
def test_entry_points_load(group, name):
    """The command and the plugin are found by name, once installed."""
    found = [entry for entry in metadata.entry_points(group=group, name=name)
             if entry.dist.name == "foldgauge"]
    assert len(found) == 1 and callable(found[0].load())


@pytest.mark.parametrize("requirement", WANTED, ids=lambda r: r.name)
def test_every_requirement_is_pinned_within_its_bounds(requirement):
    """constraints.txt fixes each library that pyproject.toml names, at a version that it allows."""
    assert PINNED[canonicalize_name(requirement.name)] in requirement.specifier


def test_what_the_requirements_require_is_pinned_too():
    """Two fresh environments on one machine are alike: nothing is left to the day of installation."""
    loose = {canonicalize_name(need.name) for name in PINNED for text in _requires(name)
             if (need := Requirement(text)).marker is None
             or need.marker.evaluate({"extra": ""})} - set(PINNED)
    assert not loose


def _requires(name: str) -> list[str]:
    try:
        return metadata.requires(name) or []
    except metadata.PackageNotFoundError:     # pinned for another operating system
        return []


def test_the_host_stays_below_its_second_major_version():
    """Plugins end with MkDocs 2.0, so no install may reach it."""
    mkdocs = next(r for r in WANTED if r.name == "mkdocs")
    assert not mkdocs.specifier.contains("2.0", prereleases=True)


def test_the_version_is_one():
    """pyproject.toml, the newest heading of the changelog and the installed package give one version."""
    headings = re.findall(r"^## (\S+)", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), re.M)
    assert headings[0] == PROJECT["version"] == metadata.version("foldgauge")


def test_every_library_that_is_imported_is_named():
    """What the generator imports by itself is not left to come along with something else."""
    known = house.modules()
    imported = {each.target.split(".")[0] for name, path in known.items()
                for each in house.imports_of(name, path, known)}
    owners = metadata.packages_distributions()
    named = {canonicalize_name(Requirement(text).name) for text in PROJECT["dependencies"]}
    libraries = {top: owners.get(top, []) for top in imported - set(sys.stdlib_module_names) - {"generator"}}
    unnamed = [top for top, owned_by in libraries.items()
               if not named & set(map(canonicalize_name, owned_by))]
    assert not unnamed, unnamed
