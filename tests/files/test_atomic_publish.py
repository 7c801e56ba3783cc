"""The published site is the old one or the new one, whatever happens to process or disk on the way."""
from __future__ import annotations

import errno
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from generator.files import AtomicPublish, NotWritten, entry_swap
from tests.files.faults import Ended, Fault, killed_at, refused_at, run_apart

OLD = {"index.html": "old", "gone/index.html": "old"}
NEW = {"index.html": "new", "lid/index.html": "new"}
NEXT = {"index.html": "next"}
HIDDEN = {".nojekyll": "", ".well-known/one": "ours"}
KILLS = int(os.environ.get("FOLDGAUGE_KILLS", "6"))      # at random instants: 100 before a release


@pytest.fixture(autouse=True)
def idle_disk(monkeypatch):
    """The disk is not waited for: a kill loses nothing that was handed to the system."""
    monkeypatch.setattr(os, "sync", lambda: None)
    monkeypatch.setattr(os, "fsync", lambda _: None)


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return old_site(tmp_path)


def old_site(folder: Path) -> Path:
    write(folder / "site", OLD | HIDDEN)
    return folder / "site"


def write(folder: Path, pages: dict[str, str]) -> None:
    for name, text in pages.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text)


def pages(site: Path) -> dict[str, str]:
    """Everything in a site; what a swap keeps there for itself is no page."""
    return {p.relative_to(site).as_posix(): p.read_text() for p in sorted(site.rglob("*"))
            if p.is_file() and ".foldgauge" not in p.parts}


def build(site: Path, new: dict[str, str], whole: bool = True) -> None:
    """A build: begun, written, finished or broken off."""
    publish = AtomicPublish(site)
    stage = publish.begin()
    try:
        write(stage, new)
    except OSError:
        whole = False
    (publish.finish if whole else publish.discard)()


def nothing_left(site: Path) -> bool:
    return not list(site.parent.rglob(".foldgauge*"))


def test_a_whole_build_replaces_the_site(site):
    """The new pages stay, the old ones go; hidden files stay, as with the host alone; so does the mode."""
    site.chmod(0o750)
    build(site, NEW)
    assert pages(site) == NEW | HIDDEN and nothing_left(site)
    assert site.stat().st_mode & 0o777 == 0o750


def test_a_broken_build_touches_nothing(site):
    """While it writes and afterwards the old pages stand there."""
    publish = AtomicPublish(site)
    write(publish.begin(), {"half.html": "half"})
    assert pages(site) == OLD | HIDDEN
    publish.discard()
    assert pages(site) == OLD | HIDDEN and nothing_left(site)


def test_a_first_build_has_nothing_to_keep(tmp_path):
    """Broken it leaves no site, whole it leaves one; the folders above are made."""
    site = tmp_path / "deep" / "site"
    build(site, NEW, whole=False)
    assert not site.exists() and nothing_left(site)
    build(site, NEW)
    assert pages(site) == NEW


def test_a_link_to_the_site_stays_a_link(site, tmp_path):
    """The folder behind it is replaced."""
    (tmp_path / "public").symlink_to(site)
    build(tmp_path / "public", NEW)
    assert (tmp_path / "public").is_symlink() and pages(site) == NEW | HIDDEN


def test_other_things_of_that_folder_stay(site):
    """The folder in which the new site is made may hold more: only what is ours is taken away."""
    other = site.parent / ".foldgauge" / "cache"
    other.mkdir(parents=True)
    build(site, NEW)
    assert other.is_dir() and [path.name for path in other.parent.iterdir()] == ["cache"]


def test_a_new_site_may_have_hidden_files_of_its_own(site):
    """They come in the place of old ones of that name, beside those which only the old site has."""
    build(site, NEW | {".well-known/one": "theirs"})
    assert pages(site) == NEW | HIDDEN | {".well-known/one": "theirs"}


def test_two_builds_at_once(site):
    """The second says so in one line and disturbs nothing; when the first is over, it may."""
    first = AtomicPublish(site)
    write(first.begin(), NEW)
    with pytest.raises(NotWritten, match=rf"\Aanother build publishes into .* \(process {os.getpid()}\).*\Z"):
        AtomicPublish(site).begin()
    first.finish()
    assert pages(site) == NEW | HIDDEN
    build(site, NEXT)
    assert pages(site) == NEXT | HIDDEN and nothing_left(site)


def test_the_lock_of_a_dead_process_holds_nobody_up(site):
    """A build that was killed while it held the lock."""
    assert run_apart(lambda: (AtomicPublish(site).begin(),
                              os.kill(os.getpid(), signal.SIGKILL))).error is None
    assert list(site.parent.rglob("lock"))
    build(site, NEW)
    assert pages(site) == NEW | HIDDEN and nothing_left(site)


def test_a_file_in_the_place_of_the_site(tmp_path):
    """It is not overwritten, and named in one line; so is a file in the place of the folder above."""
    (tmp_path / "site").write_text("mine")
    for site in (tmp_path / "site", tmp_path / "site" / "below"):
        with pytest.raises(NotWritten, match=r"\A.*site.*\Z"):
            build(site, NEW)
    assert (tmp_path / "site").read_text() == "mine" and nothing_left(tmp_path / "site")


def test_a_folder_above_that_may_not_be_written(site):
    """The new site is then made within the old one, out of sight, and its entries change places."""
    def read_only(_: int, event: str, arguments: tuple[object, ...]) -> None:
        if event in ("os.mkdir", "os.rename") and Path(str(arguments[0])).parent == site.parent:
            raise OSError(errno.EROFS, os.strerror(errno.EROFS))
    assert run_apart(lambda: build(site, NEW), read_only).error == ""
    assert pages(site) == NEW | HIDDEN and nothing_left(site)


def test_a_temporary_site_keeps_to_its_own_folder(site):
    """A preview stands where anybody may write beside it: nothing is looked for there, or left."""
    (site.parent / ".foldgauge").write_text("somebody's")
    publish = AtomicPublish(site, temporary=True)
    write(publish.begin(), NEW)
    assert site in publish.stage.parents and pages(site) == OLD | HIDDEN
    publish.finish()
    assert pages(site) == NEW | HIDDEN
    (site.parent / ".foldgauge").unlink()
    assert nothing_left(site)
    publish = AtomicPublish(site, temporary=True)
    write(publish.begin(), {"half.html": "half"})
    publish.discard()
    assert pages(site) == NEW | HIDDEN and nothing_left(site)


def test_a_process_that_works_in_the_site(site):
    """Its folder goes on to exist for it, and the name leads to the new site."""
    with subprocess.Popen([sys.executable, "-c", "print(flush=True); input()"], cwd=site,
                          stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdout is not None and process.stdout.readline().strip() == b""    # it has begun
        build(site, NEW)
        assert pages(site) == NEW | HIDDEN and nothing_left(site)
        process.communicate(b"\n")
    assert process.returncode == 0


def mounted(monkeypatch, place: Path) -> None:
    """Let the system say that a disk is mounted there."""
    monkeypatch.setattr(Path, "is_mount", lambda path: path == place)


def test_a_disk_that_is_mounted_in_the_site_is_not_emptied(site, monkeypatch):
    """In sight it is refused in one line before anything is written; out of sight it stays where it is."""
    write(site / "photos", {"one": "theirs"})
    mounted(monkeypatch, site / "photos")
    with pytest.raises(NotWritten, match=r"\A.*photos is a disk mounted within the site.*\Z"):
        AtomicPublish(site).begin()
    assert pages(site) == OLD | HIDDEN | {"photos/one": "theirs"} and nothing_left(site)
    (site / "photos").rename(site / ".photos")
    mounted(monkeypatch, site / ".photos")
    stayed = (site / ".photos").stat().st_ino, site.stat().st_ino
    build(site, NEW)
    assert pages(site) == NEW | HIDDEN | {".photos/one": "theirs"} and nothing_left(site)
    assert ((site / ".photos").stat().st_ino, site.stat().st_ino) == stayed


# -- killed and refused at every operation ---------------------------------------------

def no_exchange(*_: object) -> None:
    raise OSError(errno.ENOSYS, os.strerror(errno.ENOSYS))


RENAME = Path.rename


def rename_no_site(path: Path, target: Path) -> Path:
    """As where the site is a mount point: it is busy, or on another disk than its surroundings."""
    if any(each.name == "site" and ".foldgauge" not in each.parts for each in (path, target)):
        raise OSError(errno.EBUSY if path.name == "site" else errno.EXDEV, "a mount point")
    return RENAME(path, target)


WAYS = ("at once", "two renames", "entry by entry", "first site")


@pytest.fixture(params=WAYS)
def way(request, monkeypatch):
    """How the sites change places: depends on what the system can, and where the site stands."""
    if request.param in ("two renames", "entry by entry"):
        monkeypatch.setattr(entry_swap, "exchange", no_exchange)
    if request.param == "entry by entry":
        monkeypatch.setattr(Path, "rename", rename_no_site)
    return request.param


class Trial:
    """One old site in a folder of its own, and what is done to it in one of the ways."""

    def __init__(self, folder: Path, way: str):
        self.folder, self.way, self.site = folder, way, folder / "site"
        folder.mkdir()
        if way != "first site":
            old_site(folder)
        self.before = pages(self.site)
        hidden = HIDDEN if self.before else {}
        self.after, self.last = NEW | hidden, NEXT | hidden

    def run(self, fault: Fault) -> Ended:
        return run_apart(lambda: build(self.site, NEW), fault)

    def then_others(self) -> None:
        """A build that fails puts in order what was left; a good one leaves nothing else."""
        build(self.site, {"half.html": "half"}, whole=False)
        assert pages(self.site) in (self.before, self.after)
        build(self.site, NEXT)
        assert pages(self.site) == self.last and nothing_left(self.site)
        shutil.rmtree(self.folder)


def operations(folder: Path, way: str) -> int:
    trial = Trial(folder / "whole", way)
    ended = run_apart(lambda: build(trial.site, NEW))
    assert ended.error == "" and pages(trial.site) == trial.after and nothing_left(trial.site)
    assert ended.operations > 15
    return ended.operations


def test_killed_at_every_operation(tmp_path, way):
    """Wherever it is killed: the site is the old or the new one, and so it is after the next, failing build.

    Without an exchange there is one instant without a site, and with entry
    by entry there are some with a mixture: the next build, even a failing one, ends them.
    """
    for place in range(operations(tmp_path, way)):
        trial = Trial(tmp_path / f"kill-{place}", way)
        assert trial.run(killed_at(place)).error is None
        seen = pages(trial.site)
        assert seen in (trial.before, trial.after) or list(trial.folder.rglob("journal.json")) and (
            way == "entry by entry" or way == "two renames" and not seen), place
        trial.then_others()


def test_refused_at_every_operation(tmp_path, way):
    """One operation fails: a plain message or a whole new site, and never anything else than old or new."""
    for place in range(operations(tmp_path, way)):
        trial = Trial(tmp_path / f"once-{place}", way)
        error = trial.run(refused_at(place, (errno.ENOSPC, errno.EACCES)[place % 2])).error
        assert error == "" or error.startswith("NotWritten: ") and re.fullmatch(
            r".* cannot be published to: (no space left on device|permission denied)( \(.*\))?"
            r"(; what was there has stayed)?", error), (place, error)
        assert pages(trial.site) in (trial.before, trial.after), place
        trial.then_others()


def test_a_disk_that_refuses_everything_from_some_operation_on(tmp_path, way):
    """Not even taking back is possible; the next build, even a failing one, puts in order what lacks."""
    for place in range(operations(tmp_path, way)):
        trial = Trial(tmp_path / f"on-{place}", way)
        assert trial.run(refused_at(place, errno.EIO, last=sys.maxsize)).error is not None
        trial.then_others()


ENDLESS = """\
import itertools, sys
from pathlib import Path
from generator.files import AtomicPublish
for number in itertools.count():
    publish = AtomicPublish(Path(sys.argv[1]))
    stage = publish.begin()
    for name in range(30):
        (stage / str(name)).mkdir()
        (stage / str(name) / "index.html").write_text(str(number))
    publish.finish()
    print(number, flush=True)
"""


def test_killed_at_random_instants(site):
    """All pages of the site are of one build, whenever a process is killed that publishes on and on."""
    site = site.parent / "other"
    dice = random.Random(7)
    for _ in range(KILLS):
        process = subprocess.Popen([sys.executable, "-c", ENDLESS, str(site)], stdout=subprocess.PIPE,
                                   cwd=Path(__file__).parents[2])
        process.stdout.readline()
        time.sleep(dice.random() / 10)
        process.kill()
        process.communicate()
        seen = pages(site)
        assert len(seen) == 30 and len(set(seen.values())) == 1
        build(site, NEW, whole=False)
        assert pages(site) == seen and nothing_left(site)
