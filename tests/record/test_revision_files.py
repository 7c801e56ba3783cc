"""A revision is read back as it was written, and whatever happens to its file is found, with its line."""
from __future__ import annotations

import hashlib
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.record.revision_files import (
    LIST_FILE,
    RECORD_FOLDER,
    Record,
    file_name,
    list_line,
    read_record,
    revision_text,
)
from generator.record.state import KINDS, EditionState, TutorialState, name_of

DAY = date(2026, 11, 1)
# both editions of a sleeve, as the file on disk has them; "#" stands for what the lines below hash to
WRITTEN = """published: 2026-11-01
why: first published
after:

## mm 7KQ2MX

### measures #
length wall: 60 mm
score panels of strip: 4 at 30, 60, 90, 120 mm

### pictures #
step 1: 57009df779

### words #
en step 1: 1873cca668 9052fa1c13

### paper #
paper card: 200 gsm

### credit #

### photos #

## in 9T4W3A

### measures #
length wall: 2 3/8 in

### pictures #
step 1: 239a062699

### words #
en step 1: 1873cca668 c717869563

### paper #
paper card: 200 gsm

### credit #

### photos #
"""


def digest(text: str) -> str:
    """Ten digits of SHA-256, worked out here."""
    return hashlib.sha256(text.encode()).hexdigest()[:10]


def signed(text: str) -> str:
    """The text with the names of what stands below each heading."""
    blocks = text.split("### ")
    done = [blocks[0]]
    for block in blocks[1:]:
        body = block.split("\n## ")[0].split("\n", 1)[1].strip("\n")
        done.append(block.replace("#", digest(body), 1))
    return "### ".join(done)


SIGNED = signed(WRITTEN)
STATE = TutorialState({
    "mm": EditionState("7KQ2MX", {
        "measures": {"length wall": "60 mm", "score panels of strip": "4 at 30, 60, 90, 120 mm"},
        "pictures": {"step 1": "57009df779"}, "words": {"en step 1": "1873cca668 9052fa1c13"},
        "paper": {"paper card": "200 gsm"}, "credit": {}, "photos": {}}),
    "in": EditionState("9T4W3A", {
        "measures": {"length wall": "2 3/8 in"}, "pictures": {"step 1": "239a062699"},
        "words": {"en step 1": "1873cca668 c717869563"}, "paper": {"paper card": "200 gsm"}, "credit": {},
        "photos": {}})})


def put(folder: Path, *texts: str, listed: bool = True, slug: str = "sleeve") -> Path:
    """A tutorial's folder with these revisions, and the list that names them."""
    place = folder / slug / RECORD_FOLDER
    place.mkdir(parents=True, exist_ok=True)
    lines = []
    for text in texts:
        day = date.fromisoformat(text.split("\n")[0].removeprefix("published: "))
        (place / file_name(day, text)).write_text(text, encoding="utf-8", newline="\n")
        lines.append(list_line(day, name_of(text), slug))
    if listed:
        (folder / LIST_FILE).write_text("".join(f"{line}\n" for line in lines), encoding="utf-8")
    return folder / slug


def read(folder: Path) -> Record:
    """As a command would, with short names."""
    return read_record(folder, "tutorials")


def test_a_file_is_what_stands_in_it(tmp_path):
    """What is written is the text above to the letter, and it is read as the state above."""
    assert revision_text(DAY, "first published", (), STATE) == SIGNED
    record = read(put(tmp_path, SIGNED))
    assert not record.findings
    one, = record.revisions
    assert one.state.editions == STATE.editions and one.why == "first published" and one.day == DAY
    assert one.name == digest(SIGNED) and one.marks == {"mm": "7KQ2MX", "in": "9T4W3A"}


def test_line_ends_of_another_system_do_no_harm(tmp_path):
    """Version control may write CR LF on Windows."""
    folder = put(tmp_path, SIGNED)
    for path in (folder / RECORD_FOLDER).iterdir():
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert not read(folder).findings and read(folder).revisions


TEXT = st.text(st.characters(exclude_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=20).map(
    lambda text: " ".join(text.split()).replace(":", "")).filter(
        lambda text: text and not text.startswith("#"))
FACTS = st.dictionaries(TEXT, TEXT, max_size=3)


@given(st.fixed_dictionaries({kind: FACTS for kind in KINDS}), TEXT)
def test_whatever_is_written_is_read_back(tmp_path_factory, kinds, why):
    """Names and texts of any letters."""
    state = TutorialState({system: EditionState("7KQ2MX", kinds) for system in ("mm", "in")})
    record = read(put(tmp_path_factory.mktemp("r"), revision_text(DAY, why, (), state)))
    assert not record.findings and record.revisions[0].state == state and record.revisions[0].why == why


LINES = SIGNED.rstrip("\n").split("\n")


@pytest.mark.parametrize("number", [k for k, line in enumerate(LINES, 1) if line])
@pytest.mark.parametrize("way", ["gone", "twice", "another sign", "cut off here"])
def test_a_line_that_was_touched_is_found(tmp_path, number, way):
    """Each line of the file: nothing of the record is used, and a place in the file is named."""
    folder = put(tmp_path, SIGNED)
    path, = (folder / RECORD_FOLDER).iterdir()
    lines = list(LINES)
    line = lines[number - 1]
    if way == "gone":
        del lines[number - 1]
    elif way == "twice":
        lines.insert(number, line)
    elif way == "cut off here":
        del lines[number - 1:]
    else:
        lines[number - 1] = line[:-1] + ("0" if line[-1] != "0" else "1")
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    record = read(folder)
    found, = record.findings
    assert found.code in ("record-edited", "record-broken") and not record.revisions
    assert found.file == f"tutorials/sleeve/record/{path.name}" and found.file in record.texts
    assert 1 <= found.line <= max(len(lines), 3)


def test_a_changed_measure_is_told_at_its_heading(tmp_path):
    """The kind in which somebody has changed a line: its heading holds the name of what was there."""
    folder = put(tmp_path, SIGNED)
    path, = (folder / RECORD_FOLDER).iterdir()
    path.write_text(SIGNED.replace("2 3/8 in", "2 1/2 in"), encoding="utf-8")
    found, = read(folder).findings
    assert found.code == "record-edited" and LINES[found.line - 1].startswith("### measures")
    assert found.line == LINES.index("length wall: 2 3/8 in")


@settings(max_examples=150)
@given(st.integers(0, len(SIGNED.encode()) - 1), st.integers(1, 255))
def test_a_flipped_byte_is_found(tmp_path_factory, at, mask):
    """No byte can change unseen, and none brings the program down."""
    folder = put(tmp_path_factory.mktemp("r"), SIGNED)
    path, = (folder / RECORD_FOLDER).iterdir()
    data = bytearray(SIGNED.encode())
    data[at] ^= mask
    path.write_bytes(data)
    assert read(folder).findings and not read(folder).revisions


def test_another_day_in_the_list_is_found(tmp_path):
    """The list and the file say when it was published; both must say the same."""
    folder = put(tmp_path, SIGNED)
    (tmp_path / LIST_FILE).write_text(f"\n2026-11-02 {digest(SIGNED)} sleeve\n", encoding="utf-8")
    found, = read(folder).findings
    assert (found.code, found.file, found.line, found.column) == (
        "record-edited", "tutorials/published.txt", 2, 1)
    assert "published on 2026-11-01, the list says 2026-11-02" in found.message


def second(why: str, day: str = "2026-11-09", after: str = "") -> str:
    """Another revision, behind the first unless said."""
    return SIGNED.replace("why: first published", f"why: {why}").replace(
        "published: 2026-11-01", f"published: {day}").replace("after:", f"after: {after or digest(SIGNED)}")


def test_revisions_of_two_copies_stand_side_by_side(tmp_path):
    """Both follow the first; the next one follows both."""
    one, two = second("a wall"), second("a tab", "2026-11-12")
    record = read(put(tmp_path, SIGNED, one, two))
    assert [each.why for each in record.revisions] == ["first published", "a wall", "a tab"]
    assert set(record.heads) == {digest(one), digest(two)} and record.last.why == "a tab"
    last = second("together", "2026-11-12", f"{digest(one)} {digest(two)}")
    record = read(put(tmp_path, SIGNED, last, two, one))
    assert record.last.why == "together" and record.heads == (digest(last),)


def test_revisions_are_known_by_mark_name_and_day(tmp_path):
    """What is typed after --since; a mark also in small letters."""
    record = read(put(tmp_path, SIGNED, second("a wall")))
    for wanted, why in {"7kq2mx": "a wall", digest(SIGNED): "first published",
                        "2026-11-09": "a wall"}.items():
        assert record.revision(wanted).why == why
    assert record.revision("ZZZZZZ") is None


@pytest.mark.parametrize(("spoil", "line", "words"), [
    (lambda folder: next((folder / RECORD_FOLDER).glob("2026-11-09-*")).unlink(), 2, "does not hold it"),
    (lambda folder: next((folder / RECORD_FOLDER).glob("2026-11-01-*")).unlink(), 1, "does not hold it"),
    (lambda folder: [path.unlink() for path in (folder / RECORD_FOLDER).iterdir()], 1, "does not hold it"),
    (lambda folder: (folder.parent / LIST_FILE).unlink(), 1, "is gone"),
    (lambda folder: (folder.parent / LIST_FILE).write_text("<<<<<<< HEAD\n"), 1, "no line of the list"),
    (lambda folder: (folder.parent / LIST_FILE).write_bytes(b"\xff"), 1, "cannot be read")])
def test_what_is_lost_is_missed(tmp_path, spoil, line, words):
    """One file, all of them, or the list: never a silent new start."""
    folder = put(tmp_path, SIGNED, second("a wall"))
    spoil(folder)
    record = read(folder)
    assert record.findings and not record.revisions
    assert record.findings[0].line == line and words in record.findings[0].message


def test_a_revision_that_no_list_names_is_told(tmp_path):
    """It may be somebody else's: the hint says which line the list lacks."""
    folder = put(tmp_path, SIGNED)
    put(tmp_path, second("a wall"), listed=False)
    found, = read(folder).findings
    assert found.code == "record-lost"
    assert found.hint.endswith(f"2026-11-09 {digest(second('a wall'))} sleeve")


def test_a_folder_without_a_record_is_none(tmp_path):
    """A tutorial that was never published has nothing that could be wrong."""
    (tmp_path / "sleeve").mkdir()
    assert read(tmp_path / "sleeve") == Record()
