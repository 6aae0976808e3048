import base64
import hashlib
import re
from html.parser import HTMLParser
from importlib.resources import files
from xml.etree import ElementTree

import pytest
from support.crowds import varied
from support.mornings import advice, dark, days_on, fit, morning, poor, use, usual, yard

from windowcast.notices.console import ConsoleNotice
from windowcast.notices.page import PageNotice
from windowcast.terms.advice import Blind
from windowcast.wording.days import day_lines
from windowcast.wording.gist import gist_of
from windowcast.wording.groups import exact_groups
from windowcast.wording.view import view_of

VOID = {"meta", "link", "br", "img", "input", "hr"}
TEMPLATES = files("windowcast.notices") / "templates"


class Reader(HTMLParser):
    """Collects tags, attributes and text, and complains about tags left open."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.tags, self.attributes, self.words = [], [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [(tag, name, value) for name, value in attrs]
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += [(tag, name, value) for name, value in attrs]

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if self.open and self.open[-1] != "style":
            self.words.append(data)


def page(told, units="us"):
    return PageNotice(units=units).write(told)


def read(told, units="us"):
    reader = Reader()
    reader.feed(page(told, units))
    reader.close()
    assert reader.open == []
    return reader


def words(told, units="us"):
    return " ".join("".join(read(told, units).words).split())


def drawings(told):
    return [ElementTree.fromstring(svg) for svg in re.findall(r"<svg.*?</svg>", page(told), re.S)]


def test_the_page_is_whole_and_says_what_the_text_says():
    shown, view = words(usual()), view_of(usual(), "us")
    gist = gist_of(view)
    assert f"{gist.decision}" in shown
    assert "08:00-12:00 good: kiln, mill-ditch" in shown
    assert "Watch: thunder: quarry-bench" in shown
    assert "forecast 21 h old (nws), look again before you go" in shown
    assert "Blind, no forecast: dry-fork" in shown
    assert all(day.sentence in shown for day in day_lines(view))
    assert all(group.told in shown for group in exact_groups(view, view.chosen))


def test_every_sentence_below_the_head_of_the_text_is_on_the_page():
    shown = words(usual())
    text = ConsoleNotice().write(usual())
    sentences = [
        s.strip() for s in " ".join(text[text.index("Take care") :].split()).split(" - ")[1:]
    ]
    assert len(sentences) == 6
    assert all(sentence.partition(" Where it comes")[0] in shown for sentence in sentences)


def test_nothing_is_fetched_and_nothing_runs():
    reader = read(usual())
    assert not {"script", "link", "img", "iframe", "object", "form"} & set(reader.tags)
    assert not [name for _, name, _ in reader.attributes if name in ("src", "href", "style")]
    assert not [name for _, name, _ in reader.attributes if name.startswith("on")]
    assert "url(" not in page(usual())
    assert "@import" not in page(usual())


def test_the_policy_allows_this_stylesheet_and_nothing_else():
    shown = page(usual())
    style = re.search(r"<style>(.*?)</style>", shown, re.S).group(1)
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    policy = next(v for t, n, v in read(usual()).attributes if (t, n) == ("meta", "content"))
    assert policy.startswith(f"default-src 'none'; style-src 'sha256-{digest}'")


def test_template_and_stylesheet_keep_to_their_size():
    assert len((TEMPLATES / "notice.html").read_text(encoding="utf-8").splitlines()) < 80
    assert len((TEMPLATES / "notice.css").read_bytes()) < 10_000


def test_every_yard_day_is_one_drawing_with_a_text_alternative():
    drawn = drawings(usual())
    assert len(drawn) == 16
    for svg in drawn:
        ids = {child.get("id"): child.text for child in svg if child.get("id")}
        assert svg.get("role") == "img"
        assert ids[svg.get("aria-labelledby")]
        assert svg.get("aria-describedby") in ids
    assert drawn[0].find("title").text == "Tue 12 Jan, good, 08:00-12:00"


def test_ids_are_unique():
    ids = [value for _, name, value in read(varied(9, 2)).attributes if name == "id"]
    assert len(ids) == len(set(ids)) > 0


def test_a_run_is_one_bar_with_its_hours_on_it():
    svg = drawings(usual())[0]
    assert [path.get("class") for path in svg.iter("path")].count("bar") == 1
    assert [t.text for t in svg.iter("text") if t.get("class") == "hours"] == ["08:00-12:00"]


def test_hours_too_few_to_go_for_are_hollow():
    short = fit(hours=(9, 10), verdict="poor", limited_by="wind")
    classes = [
        path.get("class") for path in drawings(morning([advice("kiln", short)]))[0].iter("path")
    ]
    assert "hollow" in classes
    assert "bar" not in classes


def test_a_day_without_a_run_has_its_reason_on_the_line():
    svg = drawings(morning([advice("kiln", poor())]))[0]
    assert "bar" not in [path.get("class") for path in svg.iter("path")]
    assert [t.text for t in svg.iter("text") if t.get("class") == "note"] == ["Too warm (52-63 °F)"]


def test_one_ink_and_no_traffic_lights():
    shown = page(varied(9, 2))
    colours = {colour * (6 // len(colour)) for colour in re.findall(r"#([0-9a-f]{3,6})\b", shown)}
    assert {(c[0:2] == c[2:4] == c[4:6]) for c in colours} == {True}
    assert not re.search(r"\b(red|green|orange|yellow|rgb|hsl)\b", shown)


def test_a_name_cannot_become_markup():
    evil = '"><script>alert(1)</script><b onmouseover=x>'
    told = morning(
        [advice(yard("<i>kiln</i>", name=evil), fit())],
        blind=[Blind(key="x</title>", why=f"nws: {evil}")],
        outfit=evil,
        remarks=(evil,),
        sources=(use(detail=evil, credit=evil),),
    )
    reader = read(told)
    assert not {"script", "i"} & set(reader.tags)
    assert not [name for _, name, _ in reader.attributes if name.startswith("on")]
    assert evil in "".join(reader.words)


def test_a_blind_yard_says_why_in_place_of_its_days():
    assert "Blind, no forecast: nws: no answer for yard dry-fork in 3 tries" in words(usual())


def test_a_dark_day_is_drawn_without_a_bar():
    today, tomorrow, later = days_on(3)
    told = words(morning([advice("kiln", fit(today), dark(tomorrow), fit(later))]))
    assert "Not told that day" in told


def test_days_that_no_yard_can_see_at_the_end_are_left_out():
    today, tomorrow = days_on(2)
    told = words(morning([advice("kiln", fit(today), dark(tomorrow))]))
    assert "Not told that day" not in told


def test_a_morning_without_any_forecast_is_still_a_page():
    shown = words(morning([], blind=[Blind(key="kiln", why="nws: refused")], sources=()))
    assert "No forecast for any yard: nothing is advised." in shown
    assert "Days, best first" not in shown


def test_many_windows_are_headed_by_their_start():
    items = [advice(f"yard-{n}", fit(hours=(8, 10 + n))) for n in range(7)]
    assert "from 08:00: yard-0, yard-1" in words(morning(items))
    assert "08:00-10:00 good: yard-0" in words(morning(items[:6]))


@pytest.mark.parametrize("units", ["us", "si"])
def test_amounts_are_kept_on_one_line(units):
    unit = {"us": "mph", "si": "km/h"}[units]
    assert re.search(rf'<span class="kept">\d+ {unit}</span>', page(usual(), units))


def test_the_credit_line_of_a_service_stands_on_the_page():
    assert "Weather data by Example Service (CC BY 4.0)" in words(varied(9, 2))
