"""Settings become the sources that they name, in their order."""

import pytest
from support.configs import OUTFIT, write_config

from windowcast.problems import ConfigProblem
from windowcast.settings import load_settings
from windowcast.sources.nws import Nws
from windowcast.sources.open_meteo import OpenMeteo
from windowcast.wiring import wire

HEAD = OUTFIT.partition("[[sources]]")[0]


def wired(folder, sources):
    return wire(load_settings(write_config(folder, outfit=HEAD + sources)))


def test_sources_stand_in_the_order_of_the_outfit(tmp_path):
    text = '[[sources]]\nname = "open_meteo"\nnoncommercial = true\n[[sources]]\nname = "nws"\n'
    found = wired(tmp_path, text).desk.sources
    assert [type(source) for source in found] == [OpenMeteo, Nws]


def test_a_customer_key_comes_from_the_environment_and_its_lack_is_a_fault(tmp_path, monkeypatch):
    text = '[[sources]]\nname = "open_meteo"\napi_key_env = "BEES_KEY"\n'
    monkeypatch.delenv("BEES_KEY", raising=False)
    with pytest.raises(ConfigProblem, match="BEES_KEY"):
        wired(tmp_path, text)
    monkeypatch.setenv("BEES_KEY", "abc123")
    assert wired(tmp_path, text).desk.sources[0].name == "open_meteo"


def test_the_desk_holds_what_the_files_say(tmp_path):
    desk = wire(load_settings(write_config(tmp_path))).desk
    assert desk.outfit == "Vellamoor Bees"
    assert [yard.key for yard in desk.yards] == ["kiln", "heron-slough", "quarry-bench"]
    assert desk.practice.temperature.best_low_c == pytest.approx(5.0)


def test_patience_covers_at_least_two_whole_tries(tmp_path):
    patient = HEAD + '[fetch]\ndeadline = "50 s"\n'
    limits = wire(load_settings(write_config(tmp_path, outfit=patient))).fetcher.limits
    assert (limits.deadline_s, limits.budget_s) == (50.0, 100.0)
