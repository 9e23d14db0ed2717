"""The HTML twin: whole, valid, self-contained, and as safe as paper."""

import re
from html.parser import HTMLParser
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.loading import expected, load
from tests.sheet.pages import W43, entry, sheet

VOID = {"meta", "br", "circle", "rect", "line"}


class Checker(HTMLParser):
    """Tags that are closed in order, ids that come once, attributes that lead outside."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.outside: list[str] = []
        self.headings: list[int] = []
        self.text: list[str] = []
        self.heads_without_scope = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self.ids += [found] if (found := given.get("id")) else []
        self.outside += [v for k, v in attrs if k in ("src", "href", "action") or "//" in (v or "") if v]
        self.heads_without_scope += tag == "th" and "scope" not in given
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in VOID

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def checked(page: str) -> Checker:
    checker = Checker()
    checker.feed(page)
    checker.close()
    assert checker.open == []
    return checker


@pytest.fixture(scope="module")
def week() -> str:
    return sheet(load("four-weeks.jsonl"), html=True).decode()


def test_tags_are_closed_ids_are_single_and_nothing_leads_outside(week: str) -> None:
    found = checked(week)
    assert len(found.ids) == len(set(found.ids)) >= 4
    assert found.outside == []
    assert found.heads_without_scope == 0
    assert "url(http" not in week


def test_headings_go_down_one_step_at_a_time(week: str) -> None:
    levels = checked(week).headings
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_the_language_the_title_and_words_for_each_picture_are_there(week: str) -> None:
    assert '<html lang="en">' in week
    assert "<title>Week 2026-W43 · Tobias Fennimore" in week
    pictures = re.findall(r'<svg role="img" aria-label="([^"]*)"', week)
    assert len(pictures) >= 8
    assert all(pictures)


def test_what_was_all_done_is_said_once_and_anything_else_with_its_times(week: str) -> None:
    rows = {"Inner tube": week.split('<th scope="row">Inner tube</th>')[2].split("</tr>")[0]}
    assert "Done each time as planned, how often: </strong>Stoma 7, Ties 7," in week
    assert '<th scope="row">Ties</th><td>1' not in week
    assert (
        "<td>1\N{MULTIPLICATION SIGN} done, 1\N{MULTIPLICATION SIGN} overdue: overdue, done 22:06</td>"
        in rows["Inner tube"]
    )


def test_typed_text_is_text_and_no_markup(week: str) -> None:
    assert "Tape &lt;b&gt;rubs&lt;/b&gt; &amp; &quot;pulls&quot; =2+2" in week
    assert "<b>" not in week
    assert "/etc/hostname'/&gt;" in week.replace("&#x27;", "'")


def test_page_and_paper_say_the_same_about_each_entry(week: str) -> None:
    rows = re.findall(r'<td class="time">(?:<s>)?(\d\d:\d\d)', week)
    counts = expected("four-weeks.expected.json")["counts_in_force"]
    in_force = sum(count for days in counts.values() for count in days.values())
    assert len(rows) == in_force + 1  # the one that was struck out


@given(st.text(st.characters(exclude_categories=["Cs"]), max_size=60))
def test_any_text_gives_a_page_whose_tags_close(text: str) -> None:
    page = sheet([entry(1, "2026-10-20T10:07:00Z", "note", note=text, by=text[:6])], W43, html=True)
    found = checked(page.decode("utf-8"))
    for hidden in ("\x00", "\x07", "\u202e", "\ufffe"):
        assert hidden not in "".join(found.text)
