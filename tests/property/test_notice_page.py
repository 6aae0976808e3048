"""What must hold of every page, whatever stands in the files."""

import re
from xml.etree import ElementTree

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from support.any_mornings import keys, mornings, names
from support.mornings import advice, fit, morning, poor, yard

from windowcast.notices.page import PageNotice
from windowcast.wording.strips import BASE, FULL, WIDTH, frame_of, strip_of
from windowcast.wording.view import view_of

slowly = settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
LETTERS_OF_MARKUP = st.text("<>&\"'/=;{}%abc \x00\x1b", min_size=1, max_size=40)


@slowly
@given(mornings(most=8), st.sampled_from(("us", "si")))
def test_a_page_draws_every_day_of_every_seen_yard_to_the_last_that_any_sees(told, units):
    shown = PageNotice(units=units).write(told)
    drawn = re.findall(r"<svg.*?</svg>", shown, re.S)
    last = view_of(told, units).last_day
    assert len(drawn) == sum(score.day <= last for item in told.advice for score in item.scores)
    for svg in drawn:
        ElementTree.fromstring(svg)


@settings(max_examples=60, deadline=None)
@given(LETTERS_OF_MARKUP | keys, LETTERS_OF_MARKUP | names, LETTERS_OF_MARKUP | names)
def test_no_name_changes_the_tags_of_a_page(key, name, outfit):
    def tags(*words):
        place = yard(words[0], name=words[1])
        told = morning([advice(place, fit())], outfit=words[2], remarks=(words[1],))
        return re.findall(r"<[a-z!/][^>]*>", PageNotice().write(told))

    assert tags(key, name, outfit) == tags("kiln", "kiln", "kiln")


@settings(max_examples=60, deadline=None)
@given(
    st.integers(0, 21).flatmap(lambda h: st.tuples(st.just(h), st.integers(h + 1, 24))),
    st.floats(0, 1),
)
def test_a_bar_stays_inside_its_drawing(hours, score):
    view = view_of(morning([advice("kiln", fit(hours=hours, score=score, hour_scores=()))]), "us")
    drawn = strip_of(view.of_day(view.today)[0], view, frame_of(view))
    rights = [float(x) for x in re.findall(r"[MH](-?[\d.]+)", drawn.path)]
    tops = [float(y) for y in re.findall(r"V(-?[\d.]+)", drawn.path)]
    assert all(0 <= x <= WIDTH for x in rights)
    assert all(BASE - FULL <= y <= BASE for y in tops)


def test_a_poor_day_has_no_bar_to_leave_the_drawing():
    view = view_of(morning([advice("kiln", poor())]), "us")
    assert strip_of(view.of_day(view.today)[0], view, frame_of(view)).path == ""
