"""What is kept is of use only to a program that works as the one that kept it."""
from __future__ import annotations

import pytest

from generator.files import program_digest


@pytest.fixture
def package(tmp_path, monkeypatch):
    """A package of three rooms: the second stands on the first, the third on none."""
    monkeypatch.setattr(program_digest, "PACKAGE", tmp_path / "generator")
    texts = {"one/__init__.py": "from generator.one.a import (\n    A,\n    B as C,\n)\n",
             "one/a.py": "A = B = 1\n",
             "one/words/x.yaml": "a: b\n",
             "two/b.py": "def f():\n    from generator.one import A\n",
             "three/c.py": "",
             "three/d.py": "from generator.three import c\nfrom generator.three.e import E\n",
             "three/e.py": "E = 1\n"}
    for name, text in texts.items():
        path = tmp_path / "generator" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    yield tmp_path / "generator"
    forget()


def forget() -> None:
    """As a program that is started anew."""
    for each in (program_digest._files, program_digest.code_of, program_digest.code_version):
        each.cache_clear()


def digests() -> dict[str, str]:
    """Of the whole, and of each module."""
    forget()
    return {"": program_digest.code_version(), **{module: program_digest.code_of(f"generator.{module}")
            for module in ("one.a", "two.b", "three.c", "three.d")}}


@pytest.mark.parametrize(("name", "touched"), [
    ("one/a.py", {"one.a", "two.b"}), ("one/words/x.yaml", {"one.a", "two.b"}), ("two/b.py", {"two.b"}),
    ("three/c.py", {"three.c", "three.d"}), ("three/d.py", {"three.d"}),
    ("three/e.py", {"three.d"}), ("one/notes.txt", None)])
def test_a_module_is_another_where_what_it_imports_is(package, name, touched):
    """Over any distance, inside functions too; words of a room count for all of it."""
    before = digests()
    (package / name).write_text("X = 2\n", encoding="utf-8")
    after = digests()
    assert {module for module in before if before[module] != after[module]} == (
        set() if touched is None else {"", *touched})


def test_another_library_is_another_program(package, monkeypatch):
    """Its answers may differ."""
    before = digests()
    monkeypatch.setattr("importlib.metadata.version", lambda _: "0")
    program_digest._libraries.cache_clear()
    after = digests()
    program_digest._libraries.cache_clear()
    assert all(before[module] != after[module] for module in before)
