import ssl
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st
from requests import exceptions as http
from support.fetching import NOW

from windowcast.sources.failure import broken, reason_told, refused, retry_after_s


def test_a_certificate_that_is_not_valid_is_not_tried_again() -> None:
    behind = ssl.SSLCertVerificationError(1, "[SSL: CERTIFICATE_VERIFY_FAILED] expired")
    failure = broken(http.SSLError(behind), 5.0, 20.0)
    assert failure.why == "its certificate is not valid"
    assert (failure.again, failure.silent) == (False, True)


def test_an_address_of_no_use_is_a_matter_for_the_configuration() -> None:
    failure = broken(http.InvalidURL("no host"), 5.0, 20.0)
    assert failure.why == "its address cannot be used; see base_url in outfit.toml"
    assert (failure.again, failure.silent) == (False, False)


@pytest.mark.parametrize(
    ("problem", "why"),
    [
        (http.ConnectTimeout(), "no connection within 5 s"),
        (http.ReadTimeout(), "timed out after 20 s without a byte"),
        (http.ProxyError(), "the proxy gave no connection"),
        (http.SSLError(), "no secure connection came about"),
        (http.ConnectionError(), "the connection broke off"),
    ],
)
def test_a_broken_connection_is_tried_again_and_said(problem: Exception, why: str) -> None:
    failure = broken(problem, 5.0, 20.0)
    assert (failure.why, failure.again, failure.silent) == (why, True, True)


def test_a_long_chain_of_causes_comes_to_an_end() -> None:
    problem = first = http.ConnectionError()
    for _ in range(50):
        problem.__cause__ = http.ConnectionError()
        problem = problem.__cause__
    problem.__cause__ = ConnectionRefusedError()
    assert broken(first, 5.0, 20.0).why == "the connection broke off"


def test_retry_after_goes_by_the_clock_of_the_service() -> None:
    told = {"retry-after": "Tue, 01 Feb 2022 00:01:00 GMT", "date": "Tue, 01 Feb 2022 00:00:00 GMT"}
    assert retry_after_s(told, NOW) == 60
    assert retry_after_s({"retry-after": told["retry-after"]}, NOW) == 0
    before = NOW.replace(year=2022, month=2, day=1, hour=0) - timedelta(seconds=5)
    assert retry_after_s({"retry-after": told["retry-after"]}, before) == 65


@given(st.text(max_size=40) | st.from_regex(r"\A[A-Z][a-z]{2}, \d{1,3} [A-Z][a-z]{2} \d{1,5} .*"))
def test_any_retry_after_is_a_wait_or_none(text: str) -> None:
    wait_s = retry_after_s({"retry-after": text, "date": text}, NOW)
    assert wait_s is None or wait_s >= 0


@given(st.binary(max_size=60))
def test_any_error_body_is_a_reason_or_none(body: bytes) -> None:
    assert isinstance(reason_told(body), str)


@given(st.integers(100, 999), st.text(max_size=200), st.none() | st.floats(0, 1e300))
def test_any_refusal_is_one_line(status: int, reason: str, wait_s: float | None) -> None:
    why = refused(status, reason, wait_s, 30.0).why
    assert why.startswith(f"status {status}")
    assert len(why.splitlines()) == 1
