"""What pydantic finds wrong, in our words."""

from __future__ import annotations

from typing import Annotated, Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field
from support.configs import document, told

from windowcast.settings.complaints import accepted, checked


class Inner(BaseModel):
    """A table inside of another."""

    model_config = ConfigDict(extra="forbid", strict=True)
    size: int = Field(1, ge=1, le=3, examples=[2])
    colour: Literal["red"] = "red"


class Outer(BaseModel):
    """A whole file."""

    model_config = ConfigDict(extra="forbid", strict=True)
    word: str = Field(examples=["kiln"])
    share: Annotated[float, Field(gt=0)] = 0.5
    names: list[str] = Field(default_factory=list, max_length=1, examples=[["a"]])
    inner: Inner | None = None
    inners: list[Inner] = Field(default_factory=list)
    plain: bool = True
    kind: int | None = Field(None, alias="class", examples=[3])


class Login(BaseModel):
    """A table with a secret whose place is named."""

    model_config = ConfigDict(extra="forbid", strict=True)
    pin_token_env: str = "PIN"
    pin_token_file: str = "pin"
    colour_file: str = "red"


def faults(text: str) -> list[str]:
    read = document(text, "f.toml")
    built, found = checked(Outer, read.table, read)
    return told(lambda: accepted(built, read, found))


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", 'f.toml: word: is missing; write word = "kiln"'),
        ("word = 4", 'f.toml:1: word: 4 is not text in quotes; write word = "kiln"'),
        ('word = "a"\nshare = "x"', 'f.toml:2: share: "x" is not a number; write another value'),
        ('word = "a"\nshare = 0.0', "f.toml:2: share: 0.0 is not more than 0.0; write"),
        ('word = "a"\nplain = 1', "f.toml:2: plain: 1 is not true or false; write another value"),
        ('word = "a"\nnames = ["a", "b"]', 'a list has more than 1 entries; write names = ["a"]'),
        ('word = "a"\nnames = [4]', 'names[1]: 4 is not text in quotes; write names = ["a"]'),
        ('word = "a"\ninner = 4', "4 is not a table; write [inner] on a line of its own"),
        ('word = "a"\ninners = 4', "4 is not a list; write [[inners]] on a line of its own"),
        ('word = "a"\n[inner]\nsize = 4', "f.toml:3: inner.size: 4 is more than 3; write size = 2"),
        ('word = "a"\n[inner]\ncolour = "blue"', 'inner.colour: "blue" cannot be taken (inp'),
        ('word = "a"\nwrod = "b"', 'f.toml:2: wrod: is not a known key; did you mean "word"?'),
        ('word = "a"\nzzz = "b"', "known are word, share, names, inner, inners, plain or class"),
        ('word = "a"\nclass = "b"', 'f.toml:2: class: "b" is not a whole number; write class = 3'),
        ('word = "a"\nkind = 3', "f.toml:2: kind: is not a known key; known are word,"),
        ('word = "a"\n[inner]\nclass = 3', "class: does not belong below this heading"),
        ('word = "a"\n[[inners]]\n[[inners]]\nplain = true', "f.toml:4: inners[2].plain: does not"),
        ('word = "a"\npassword = "s"', "password: a secret does not belong in this file"),
    ],
)  # fmt: skip
def test_a_complaint_is_one_sentence_with_a_cure(text: str, sentence: str) -> None:
    (one,) = faults(text)
    assert sentence in one


def test_a_sound_table_is_built() -> None:
    read = document('word = "a"\n')
    built, found = checked(Outer, read.table, read)
    assert accepted(built, read, found).word == "a"


def test_a_table_that_could_not_be_read_has_its_syntax_told_and_no_more() -> None:
    assert len(faults("zzz")) == 1


def test_a_key_whose_line_is_faulty_is_not_missing_too() -> None:
    assert faults("word =\n") == [
        'f.toml:1: word: has no value; write one, such as word = "...", or delete the line'
    ]


def test_faults_of_syntax_and_of_meaning_are_told_in_order_of_lines() -> None:
    lines = [one.split(":")[1] for one in faults("plain = 1\nword = a b\nshare = true\n")]
    assert lines == ["1", "2", "3"]


def test_a_secret_in_a_table_is_sent_to_the_places_that_the_table_knows() -> None:
    read = document('token = "s3cr3t"\n', "f.toml")
    _, (fault,) = checked(Login, read.table, read)
    assert str(fault) == (
        "f.toml:1: token: a secret does not belong in this file;"
        " name the place where it is kept, with pin_token_env or pin_token_file"
    )
