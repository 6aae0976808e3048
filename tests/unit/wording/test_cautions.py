from itertools import chain

import pytest

from windowcast.planning.cautions import CAUTIONS, LABEL, MASK, OTHERS
from windowcast.wording.cautions import GROUPS, SENTENCES, caution_sentences
from windowcast.wording.plain import cost


def test_every_code_has_a_sentence_in_exactly_one_group():
    assert set(SENTENCES) == set(CAUTIONS)
    assert sorted(chain.from_iterable(GROUPS)) == sorted(CAUTIONS)


def test_all_cautions_together_are_eight_entries_label_first():
    told = caution_sentences(CAUTIONS)
    assert len(told) == 8
    assert told[0].startswith("The label in hand and local law come first.")


def test_others_are_kept_away_with_or_without_flying_bees():
    assert "as long as the label says" in SENTENCES[OTHERS]
    assert "neighbours" in SENTENCES[OTHERS]


def test_only_what_is_called_for_is_said():
    assert caution_sentences([LABEL]) == ("The label in hand and local law come first.",)
    assert caution_sentences([MASK, LABEL])[1] == SENTENCES[MASK]


@pytest.mark.parametrize("code", CAUTIONS)
def test_a_caution_is_one_short_line(code):
    assert cost(SENTENCES[code]) <= 75
    assert SENTENCES[code].endswith(".")


def test_the_order_of_the_codes_does_not_change_what_is_said():
    assert caution_sentences(CAUTIONS[::-1]) == caution_sentences(CAUTIONS)
