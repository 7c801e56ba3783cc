"""A notice of a publication, ready to be pasted into a mail: as plain text, or as HTML."""
from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from html import escape

from generator.dataclass import dataclass
from generator.locale import Locale, capital
from generator.record.changes import changes_between
from generator.record.print_marks import moved_lines
from generator.record.revision_files import Record, Revision


@dataclass(frozen=True, slots=True)
class Notice:
    """What a reader is told: ``reasons`` by day, of each edition a line with what differs, and where to look.

    ``links`` are what a page is called, and its whole address.
    """

    title: str
    reasons: tuple[str, ...]
    editions: tuple[tuple[str, tuple[str, ...]], ...]
    links: tuple[tuple[str, str], ...] = ()


def notice_of(record: Record, title: str, locale: Locale, since: str | None = None, page: str = "",
              prints: str = "") -> Notice | None:
    """What was published last against what was before, or against the revision ``since``; None for nothing.

    ``page`` and ``prints`` are addresses, "" where the site does not know its own.
    """
    told = _told(record.revisions, record.revision(since) if since is not None else None)
    if len(told) < 2:
        return None
    editions = []
    for each in changes_between(told[0].state, told[-1].state):
        edition = capital(locale.say(f"templates.edition.{each.system}"))
        editions.append((locale.say("record.notice.moved", edition=edition, old=each.old_mark, new=each.mark),
                         moved_lines(each, locale)) if each.plan_moved
                        else (locale.say("record.notice.good", edition=edition, mark=each.mark), ()))
    links = ((locale.say("record.notice.page"), page), (locale.say("record.notice.prints"), prints))
    return Notice(locale.say("record.notice.title", title=title),
                  tuple(f"{each.day}: {each.why}" for each in told[1:]), tuple(editions),
                  tuple(link for link in links if link[1]))


def _told(revisions: Sequence[Revision], since: Revision | None) -> Sequence[Revision]:
    """The revision that is compared with, and all that came after it."""
    return revisions[-2:] if since is None else revisions[revisions.index(since):]


def notice_text(notice: Notice) -> str:
    """Plain text, a blank line between its parts."""
    parts = ["\n".join((notice.title, "=" * len(notice.title))), "\n".join(notice.reasons)]
    parts += ["\n".join((line, *(f"  - {each}" for each in lines))) for line, lines in notice.editions]
    parts += ["\n".join(f"{label}: {address}" for label, address in notice.links)] * bool(notice.links)
    return "\n\n".join(parts).replace("\u00a0", " ")


def notice_html(notice: Notice) -> str:
    """A piece of HTML without any style, as editors of mails take it."""
    return "\n".join((f"<h2>{escape(notice.title)}</h2>", *_paragraphs(notice.reasons),
                      *(part for line, lines in notice.editions for part in _edition(line, lines)),
                      *(f'<p><a href="{escape(address)}">{escape(label)}</a></p>'
                        for label, address in notice.links)))


def _paragraphs(lines: Iterable[str]) -> Iterator[str]:
    return (f"<p>{escape(line)}</p>" for line in lines)


def _edition(line: str, lines: Iterable[str]) -> Iterator[str]:
    yield from _paragraphs((line,))
    if items := "".join(f"<li>{escape(each)}</li>" for each in lines):
        yield f"<ul>{items}</ul>"
