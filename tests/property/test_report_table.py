"""Every report comes back from its table as it was."""

from __future__ import annotations

from datetime import UTC, datetime

from hypothesis import given
from hypothesis import strategies as st
from support.any_books import reports
from support.configs import told

from windowcast.records.reports import new_among, read_reports, reports_text

LATER = datetime(2199, 1, 1, tzinfo=UTC)
ZONES = st.sampled_from(["America/Los_Angeles", "Asia/Kathmandu", "UTC"])


@given(st.lists(reports(), max_size=4), ZONES)
def test_every_report_round_trips(some, tz):
    zones = {report.yard_key: tz for report in some[1:]}
    text = reports_text(some, zones=zones)
    assert read_reports(text, file="reports.csv", now=LATER) == tuple(some)


@given(st.lists(reports(), max_size=4))
def test_nothing_of_an_export_is_new_to_the_book_it_came_from(some):
    assert new_among(some, some) == ()
    assert len(new_among(some, some[1:])) == len(some[:1])


@given(st.lists(reports(), min_size=1, max_size=3), st.data())
def test_a_spoiled_table_is_reports_or_faults_with_their_lines(some, data):
    text = reports_text(some, zones={})
    at = data.draw(st.integers(0, len(text)))
    spoiled = text[:at] + data.draw(st.text(max_size=4)) + text[at + data.draw(st.integers(0, 9)) :]
    for sentence in told(lambda: read_reports(spoiled, file="reports.csv", now=LATER)):
        assert sentence.startswith("reports.csv")


@given(st.text(max_size=200))
def test_any_text_is_no_table_and_says_so(text):
    head = "at,yard,kind,seen,days\n"
    for whole in (text, head + text):
        told(lambda whole=whole: read_reports(whole, file="reports.csv", now=LATER))
