"""The texts that people read when something is wrong."""

from __future__ import annotations

import pytest

from windowcast import problems
from windowcast.problems import ConfigProblem, Fault, SourceDown, SourceGarbled, SourceProblem


def test_a_fault_says_file_line_field_finding_and_cure() -> None:
    fault = Fault(
        file="yards.csv",
        line=3,
        field="lat",
        found='"43,61" has a decimal comma',
        cure="write 43.61",
    )
    assert str(fault) == 'yards.csv:3: lat: "43,61" has a decimal comma; write 43.61'


def test_a_fault_of_a_whole_file_has_neither_line_nor_field() -> None:
    fault = Fault(file="outfit.toml", found="there is no such file", cure="run windowcast new DIR")
    assert str(fault) == "outfit.toml: there is no such file; run windowcast new DIR"


def test_a_config_problem_carries_every_fault_one_a_line() -> None:
    faults = [Fault(file="a", line=n, found="x", cure="y") for n in (1, 2)]
    problem = ConfigProblem(faults)
    assert problem.faults == tuple(faults)
    assert str(problem) == "a:1: x; y\na:2: x; y"


def test_a_source_that_is_down_remembers_the_status() -> None:
    assert SourceDown("nws: said no", status=503).status == 503
    assert SourceDown("nws: no answer").status is None
    assert str(SourceDown("nws: said no", status=503)) == "nws: said no"


@pytest.mark.parametrize("problem", [SourceDown("x"), SourceGarbled("x")])
def test_both_ways_a_source_fails_are_caught_as_one(problem: Exception) -> None:
    assert isinstance(problem, SourceProblem)


def test_every_expected_fault_has_one_root_and_is_drawn_in_the_tree() -> None:
    ours = [
        item
        for item in vars(problems).values()
        if isinstance(item, type) and issubclass(item, Exception)
    ]
    assert len(ours) >= 7
    for fault in ours:
        assert issubclass(fault, problems.WindowcastError)
        assert fault.__name__ in str(problems.__doc__)
