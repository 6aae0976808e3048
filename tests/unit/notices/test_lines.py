from windowcast.notices.lines import flow, laid, packed


def test_the_first_ten_lines_are_narrow_and_the_others_wide():
    lines = laid(["word " * 300], 0)
    assert max(map(len, lines[:10])) <= 60
    assert 60 < max(map(len, lines[10:])) <= 78


def test_lines_below_the_head_are_wide_from_the_start():
    assert len(laid(["word " * 15], 10)) == 1
    assert len(laid(["word " * 15], 9)) == 2


def test_a_paragraph_hangs_below_its_indent_and_a_gap_stays():
    assert laid([" " + "word " * 20, ""], 10)[1:] == ["    word word word word word", ""]


def test_items_that_do_not_fit_are_counted():
    items = [f"yard-{n}," for n in range(40)]
    lines, hidden = flow(" good:", items, 10, 2)
    assert len(lines) == 2
    assert hidden > 0
    assert lines[1].endswith(f"and {hidden} more")
    assert sum(line.count("yard-") for line in lines) == 40 - hidden


def test_items_that_fit_are_all_there():
    lines, hidden = flow(" good:", ["kiln,", "fen"], 10, 1)
    assert (lines, hidden) == ([" good: kiln, fen"], 0)


def test_a_room_of_one_line_still_counts_everything():
    lines, hidden = flow(" good:", ["x" * 70 + ",", "y" * 70], 10, 1)
    assert (lines, hidden) == ([" good: and 2 more"], 2)


def test_packed_items_are_never_broken_and_hang_below_their_lead():
    items = ["high wind warning (3),", "ice (2),", "blizzard warning (1)"]
    assert packed(" watch:", items, 31) == [
        " watch: high wind warning (3),",
        "    ice (2),",
        "    blizzard warning (1)",
    ]
    assert packed("Watch:", ["a" * 40], 20) == ["Watch:", "   " + "a" * 16 + "\u2026"]
