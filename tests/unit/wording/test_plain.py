import pytest

from windowcast.wording.plain import (
    UNNAMED,
    capital,
    clean,
    cost,
    cut,
    joined,
    listed,
    plural,
    wrapped,
)


@pytest.mark.parametrize(
    ("raw", "shown"),
    [
        ("kiln", "kiln"),
        ("  kiln \t yard\r\n", "kiln yard"),
        ("ki\x1b[31mln\x07", "ki[31mln"),
        ("ki\u202eln\u200b", "kiln"),
        ("a\u2028b\u00a0c", "a b c"),
        ("e\u0301cluse", "\u00e9cluse"),
        ("", UNNAMED),
        ("\x00\u200b", UNNAMED),
        ("\ud800x", "x"),
    ],
)
def test_a_name_is_made_safe_to_print(raw, shown):
    assert clean(raw) == shown


def test_a_wide_character_costs_two_cells_and_a_mark_one():
    assert cost("ab") == 2
    assert cost("養蜂") == 4
    assert cost("e\u0301") == 2


def test_what_is_cut_says_so_and_fits():
    assert cut("heron-slough", 12) == "heron-slough"
    assert cut("heron-slough", 11) == "heron-slou…"
    assert cut("養蜂場の東", 6) == "養蜂…"
    assert clean("heron  slough", 8) == "heron s…"


def test_a_cut_leaves_no_blank_before_the_mark():
    assert cut("heron slough", 7) == "heron…"


def test_a_list_counts_what_does_not_fit():
    names = ["kiln", "mill", "fen", "quarry"]
    assert listed(names, 23) == "kiln, mill, fen, quarry"
    assert listed(names, 22) == "kiln, mill and 2 more"
    assert listed(names, 15) == "kiln and 3 more"
    assert listed(names, 14) == "4 in all"
    assert listed([], 10) == ""


def test_items_are_joined_as_in_speech():
    assert joined([]) == ""
    assert joined(["a"]) == "a"
    assert joined(["a", "b"]) == "a and b"
    assert joined(["a", "b", "c"], "or") == "a, b or c"


def test_counts_and_capitals():
    assert plural(1, "yard") == "1 yard"
    assert plural(0, "yard") == "0 yards"
    assert plural(1020, "colony", "colonies") == "1,020 colonies"
    assert capital("nws says") == "Nws says"
    assert capital("") == ""


def test_lines_are_as_wide_as_each_may_be():
    assert wrapped("one two three four five", [7, 12], "  ") == [
        "one two",
        "  three four",
        "  five",
    ]


def test_a_line_keeps_its_indent():
    assert wrapped(" one two", [6], "   ") == [" one", "   two"]


def test_a_number_stays_with_its_unit():
    assert wrapped("gusts 9 mph.", [7]) == ["gusts", "9 mph."]
    assert wrapped("range 38-44 °F", [11]) == ["range", "38-44 °F"]
    assert wrapped("at 9 months", [4]) == ["at 9", "mont", "hs"]


def test_a_word_longer_than_a_line_goes_on_in_the_next():
    assert wrapped("abcdefgh", [3]) == ["abc", "def", "gh"]
    assert wrapped("養養", [1]) == ["養", "養"]


def test_nothing_is_no_line():
    assert wrapped("", [10]) == []
