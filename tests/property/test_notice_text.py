"""What must hold of every text notice and every document, whatever stands in the files."""

import json
import unicodedata

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from support.any_mornings import mornings
from support.crowds import varied

from windowcast.notices.console import ConsoleNotice
from windowcast.wording.alarms import watch
from windowcast.wording.cautions import SENTENCES
from windowcast.wording.document import document_text
from windowcast.wording.gist import SCOPE
from windowcast.wording.plain import clean, cost, cut, listed, wrapped
from windowcast.wording.view import label, view_of

slowly = settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
units = st.sampled_from(("us", "si"))


@slowly
@given(mornings(), units)
def test_a_notice_keeps_to_its_lines_and_columns(told, units):
    lines = ConsoleNotice(units=units).write(told).splitlines()
    assert len(lines) <= 60
    assert all(cost(line) <= 60 for line in lines[:10])
    assert all(cost(line) <= 78 for line in lines)


@slowly
@given(mornings())
def test_every_alarm_of_the_runs_stands_in_the_first_ten_lines(told):
    view = view_of(told, "us")
    alarms = watch(view.served(view.chosen)) if view.chosen else ()
    lines = ConsoleNotice().write(told).splitlines()[:10]
    hidden = [a.phrase for a in alarms if not any(a.phrase in line for line in lines)]
    rest = [line for line in lines if line.endswith(", see below") and "official" in line]
    assert bool(hidden) == bool(rest)
    assert not hidden or len(alarms) > 5


@slowly
@given(mornings(most=12), units)
def test_a_notice_holds_nothing_that_steers_a_terminal(told, units):
    text = ConsoleNotice(units=units).write(told)
    odd = {c for c in text if unicodedata.category(c).startswith("C")} - {"\n"}
    assert odd == set()
    assert text.endswith("\n")


@slowly
@given(mornings(most=12))
def test_label_law_and_scope_are_always_told(told):
    text = ConsoleNotice().write(told)
    assert SENTENCES["label"] in text
    assert SCOPE in text.splitlines()[:10]


@slowly
@given(mornings(most=6))
def test_no_yard_of_a_few_is_dropped(told):
    text = " ".join(ConsoleNotice().write(told).split())
    for place in told.yards:
        assert "".join(label(place.key).split()) in "".join(text.split())


@slowly
@given(mornings(most=12), units)
def test_a_document_is_json_without_holes(told, units):
    content = json.loads(document_text(told, units), parse_constant=lambda name: 1 / 0)
    assert [item["key"] for item in content["yards"]] == [item.key for item in told.yards]
    assert {item["key"] for item in content["blind"]} == {
        item["key"] for item in content["yards"] if not item["days"]
    }
    assert [day["rank"] for day in content["days"]] == list(range(1, len(told.days) + 1))


@settings(max_examples=30, deadline=None)
@given(st.integers(30, 90), st.integers(0, 10_000), units)
def test_a_crowd_of_different_yards_fits_the_sheet(count, seed, units):
    lines = ConsoleNotice(units=units).write(varied(count, seed)).splitlines()
    assert len(lines) <= 60
    assert all(len(line) <= 60 for line in lines[:10])
    assert all(len(line) <= 78 for line in lines)


@given(st.text(), st.integers(2, 40))
def test_a_cut_name_fits_and_is_clean(text, room):
    shown = clean(text, room)
    assert 0 < cost(shown) <= room
    assert cost(cut(text, room)) <= room


@given(st.text(), st.lists(st.integers(2, 80), min_size=1, max_size=4))
def test_wrapping_keeps_every_word_and_every_width(text, widths):
    shown = clean(text)
    lines = wrapped(shown, widths)
    assert "".join("".join(lines).split()) == "".join(shown.split())
    assert all(
        cost(line) <= widths[min(number, len(widths) - 1)] for number, line in enumerate(lines)
    )


@given(
    st.lists(st.text("abcdef", min_size=1, max_size=9), min_size=1, max_size=12),
    st.integers(12, 60),
)
def test_a_list_fits_its_room_and_counts_the_rest(items, room):
    shown = listed(items, room)
    assert cost(shown) <= room
    if shown != ", ".join(items) and not shown.endswith("in all"):
        named = shown.partition(" and ")[0].split(", ")
        assert shown.endswith(f" and {len(items) - len(named)} more")
