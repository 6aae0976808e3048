"""Whatever a mail server says, a letter was taken or there is one sentence about it."""

from __future__ import annotations

from collections.abc import Callable

from hypothesis import given, settings
from hypothesis import strategies as st
from support.letters import send, smtp
from support.mail_servers import RawServer, answering

from windowcast.problems import NoticeProblem

# Answers as they should be, answers of the wrong kind, and what is no answer at all.
LINES = (
    "220 mail.vellamoor.example", "250 OK", "250-x\r\n250 AUTH PLAIN LOGIN", "354 go", "334 ",
    "334 !", "250-STARTTLS\r\n250 AUTH CRAM-MD5", "235 yes", "421 busy", "550 no", "221 bye",
)  # fmt: skip
replies = st.sampled_from(LINES) | st.text(st.characters(codec="latin-1"), max_size=60)


def refusal_of(act: Callable[[], None]) -> str | None:
    """The sentence with which something was refused, None where it was done."""
    try:
        act()
    except NoticeProblem as problem:
        return str(problem)
    return None


@settings(max_examples=60)
@given(
    said=st.lists(replies, max_size=8),
    user=st.none() | st.just("anna"),
    security=st.sampled_from(("none", "starttls", "tls")),
)
def test_any_answers_end_in_a_yes_or_in_a_sentence(
    said: list[str], user: str | None, security: str
) -> None:
    with RawServer(answering(*said)) as server:
        channel = smtp(server.port, user=user, password="moss", security=security, deadline_s=0.4)
        problem = refusal_of(lambda: send(channel))
    if problem is None:
        assert security == "none"
        assert any(line.startswith("250") for line in said)
    else:
        assert problem.isprintable()
