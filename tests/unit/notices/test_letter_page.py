import re
from datetime import date
from html.parser import HTMLParser

import pytest
from support.crowds import CREDIT, crowd, varied
from support.mornings import NOW, TZ, advice, days_on, fit, morning, poor, usual

from windowcast.notices.letter import letter_of, no_forecast_letter
from windowcast.notices.letter_page import head_sentences
from windowcast.terms.advice import Morning
from windowcast.terms.rounds import OPEN, OVERDUE, RoundDue, RoundTotal
from windowcast.wording.days import day_lines
from windowcast.wording.gist import gist_of
from windowcast.wording.view import view_of

VOID = {"meta", "br"}
ALLOWED = {
    "html", "head", "meta", "title", "body", "div", "p", "h1", "h2", "b", "br", "table", "thead",
    "tbody", "tr", "th", "td", "ul", "li", "pre",
}  # fmt: skip


class Reader(HTMLParser):
    """Collects tags, attributes and text, and sees to it that what is opened is closed."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open, self.tags, self.attributes, self.words = [], [], [], []
        self.feed(page)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [(tag, name, value) for name, value in attrs]
        self.open += [] if tag in VOID else [tag]

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def page(told: Morning) -> Reader:
    return Reader(letter_of(told, "us").html)


@pytest.mark.parametrize("told", [usual(), varied(40, 1), varied(200, 2), crowd(3), morning([])])
def test_the_page_needs_nothing_but_itself(told: Morning) -> None:
    read = page(told)
    assert set(read.tags) <= ALLOWED
    names = {name for _, name, _ in read.attributes}
    assert names <= {"style", "lang", "charset", "name", "content", "scope"}
    styles = " ".join(value for _, name, value in read.attributes if name == "style")
    assert not re.search(r"url\(|@import|https?:", styles)


def test_the_page_is_one_column_in_black_on_white() -> None:
    styles = [value for _, name, value in page(usual()).attributes if name == "style"]
    colours = set(re.findall(r"#[0-9a-f]{3,6}", " ".join(styles)))
    assert colours == {"#111", "#fff", "#767676"}
    assert any("max-width:600px" in style for style in styles)
    for style in styles:
        assert ("background:#fff" in style) == ("color:#111" in style.replace("-color:", ""))


def test_the_page_tells_its_language_and_its_scheme() -> None:
    attributes = page(usual()).attributes
    assert ("html", "lang", "en") in attributes
    assert ("meta", "content", "light") in attributes


def test_the_days_are_a_table_with_heads_for_columns_and_rows() -> None:
    read = page(usual())
    scopes = [value for tag, name, value in read.attributes if (tag, name) == ("th", "scope")]
    assert scopes == ["col", "col", "row", "row", "row", "row"]
    assert read.tags.count("td") == 4


def test_the_page_says_what_the_notice_says() -> None:
    view, text = view_of(usual(), "us"), page(usual()).text
    gist = gist_of(view)
    for told in [gist.title, gist.decision, *(day.sentence for day in day_lines(view))]:
        assert told in text
    for number, day in enumerate(day_lines(view), 1):
        assert f"{number}. {day.name} {day.verdict}" in text
    assert "Take care The label in hand and local law come first." in text
    assert "nws: forecast 21 h old" in text


def test_the_head_is_enough_to_send_a_crew() -> None:
    assert head_sentences(gist_of(view_of(usual(), "us"))) == [
        "08:00-12:00 good: kiln, mill-ditch",
        "09:00-11:00 workable: quarry-bench",
        "Watch: thunder at quarry-bench",
        "Watch: forecast 21 h old (nws), look again before you go",
        "Blind, no forecast: dry-fork",
        "Not today: heron-slough (too windy)",
        "Better still: Fri 15 Jan, 08:00-13:00, 4 of 5 yards, good",
    ]


def test_rounds_stand_in_the_page_and_those_overdue_in_its_head() -> None:
    rounds = (
        RoundDue(
            yard_key="kiln", state=OVERDUE, round_no=2, latest=date(2027, 1, 10),
            overdue_since=date(2027, 1, 11),
        ),
    )  # fmt: skip
    totals = (RoundTotal(round_no=1, done=1, begun=0, yards=1),)
    told = morning([advice("kiln", fit())], rounds=rounds, totals=totals)
    text = page(told).text
    assert "Watch: round 2 overdue at kiln" in head_sentences(gist_of(view_of(told, "us")))
    assert "Rounds, by the calendar alone Round 1: 1 of 1 yard." in text
    assert "Round 2 overdue, was due by Sun 10 Jan: kiln" in text


@pytest.mark.parametrize(("count", "rest"), [(12, ""), (13, "and 1 more yard: windowcast")])
def test_rounds_beyond_the_room_are_counted(count: int, rest: str) -> None:
    rounds = tuple(
        RoundDue(yard_key=f"kiln-{n}", state=OPEN, round_no=2, latest=day)
        for n, day in enumerate(days_on(count))
    )
    totals = (RoundTotal(round_no=1, done=0, begun=1, yards=count),)
    items = [advice(f"kiln-{n}", fit()) for n in range(count)]
    text = page(morning(items, rounds=rounds, totals=totals)).text
    assert "Round 2 open, by Sat 23 Jan: kiln-11" in text
    assert ("more yard" in text) == bool(rest)
    assert rest in text


def test_a_day_to_stay_tells_the_next_one_in_the_head() -> None:
    today, tomorrow = days_on(2)
    text = page(morning([advice("kiln", poor(today), fit(tomorrow))])).text
    assert "No go today: too warm" in text
    assert "Best: Wed 13 Jan, 08:00-12:00, the one yard, good" in text


def test_very_many_windows_are_told_by_their_start_and_counted() -> None:
    told = head_sentences(gist_of(view_of(varied(200, 1), "us")))
    starts = [line for line in told if line.startswith("from ")]
    assert len(starts) == 6
    assert all(len(line) < 140 for line in starts)
    assert "and 2 later starts, see below" in told


def test_remarks_are_told_and_the_rest_counted() -> None:
    few = varied(9, 2, remarks=tuple(f"remark {n}" for n in range(8)))
    many = varied(9, 2, remarks=tuple(f"remark {n}" for n in range(11)))
    assert "remark 7" in page(few).text
    assert "more remark" not in page(few).text
    assert "remark 7 and 3 more remarks: windowcast morning --html FILE" in page(many).text


def test_the_credit_line_of_a_service_stands_in_the_page() -> None:
    assert CREDIT in page(varied(9, 2)).text


def test_the_page_without_a_forecast_is_as_plain() -> None:
    read = Reader(no_forecast_letter("Vellamoor Bees", TZ, NOW, "nws: no answer").html)
    assert set(read.tags) <= ALLOWED
    assert "No forecast this morning: nothing is advised." in read.text
