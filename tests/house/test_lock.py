"""The lock holds what the project asks for: exact versions with hashes, and no addresses."""

from __future__ import annotations

import re
import tomllib

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from support.tree import ROOT

LOCK = (ROOT / "requirements.lock").read_text("utf-8")
PINS = {
    canonicalize_name(name): version
    for name, version in re.findall(r"^([A-Za-z0-9._-]+)==([^\s;\\]+)", LOCK, re.M)
}
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


@pytest.mark.parametrize("wanted", PROJECT["dependencies"])
def test_every_runtime_dependency_is_locked_in_its_range(wanted: str) -> None:
    requirement = Requirement(wanted)
    assert PINS[canonicalize_name(requirement.name)] in requirement.specifier


def test_every_pin_has_hashes() -> None:
    pins = re.split(r"^(?=[A-Za-z0-9])", LOCK, flags=re.M)[1:]
    assert len(pins) == len(re.findall(r"^[A-Za-z0-9]", LOCK, re.M)) >= len(PINS) > 10
    assert [pin.split()[0] for pin in pins if "--hash=sha256:" not in pin] == []


def test_the_lock_holds_no_addresses() -> None:
    assert not re.search(r"https?:|file:|--(extra-)?index-url|--find-links| @ ", LOCK)
