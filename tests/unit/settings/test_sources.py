"""The weather services of ``outfit.toml``: what each may say, and what it must."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.configs import OUTFIT, document, told

from windowcast.settings.outfit import outfit_of
from windowcast.settings.sources import SourceSetting

BASE = OUTFIT.partition("[[sources]]")[0]


def read(folder: Path, *sources: str) -> list[str]:
    text = BASE + "".join(f"[[sources]]\n{source}\n" for source in sources)
    return told(lambda: outfit_of(document(text), folder))


def built(folder: Path, *sources: str) -> tuple[SourceSetting, ...]:
    text = BASE + "".join(f"[[sources]]\n{source}\n" for source in sources)
    return outfit_of(document(text), folder).sources


def test_without_sources_the_weather_service_is_asked(tmp_path: Path) -> None:
    assert built(tmp_path) == (SourceSetting(name="nws"),)


def test_sources_keep_their_order_and_what_they_say(tmp_path: Path) -> None:
    (tmp_path / "answers").mkdir()
    (tmp_path / "station.csv").write_text("x")
    found = built(
        tmp_path,
        'name = "open_meteo"\nnoncommercial = true',
        'name = "nws"\nbase_url = "http://127.0.0.1:8000/nws/"\nobservations = false',
        'name = "files"\nfolder = "answers"',
        'name = "station_daily"\nstation = "usc00101022"\nfile = "station.csv"',
    )
    assert found == (
        SourceSetting(name="open_meteo", noncommercial=True),
        SourceSetting(name="nws", base_url="http://127.0.0.1:8000/nws", observations=False),
        SourceSetting(name="files", folder=tmp_path / "answers"),
        SourceSetting(name="station_daily", station="USC00101022", file=tmp_path / "station.csv"),
    )


def test_a_path_may_leave_the_folder_of_the_file(tmp_path: Path) -> None:
    (tmp_path / "config").mkdir()
    (tmp_path / "answers").mkdir()
    found = built(tmp_path / "config", 'name = "files"\nfolder = "../answers"')
    assert found[0].folder == tmp_path / "answers"


def test_an_unknown_source_is_told_the_nearest(tmp_path: Path) -> None:
    (sentence,) = read(tmp_path, 'name = "open-meteo"')
    assert sentence.endswith('"open-meteo" is not a source; did you mean "open_meteo"?')


def test_a_source_stands_at_most_once(tmp_path: Path) -> None:
    (sentence,) = read(tmp_path, 'name = "nws"', 'name = "nws"')
    assert 'sources[2].name: "nws" stands twice' in sentence


FREE_HOSTS = (
    "api.open-meteo.com", "api.open-meteo.com.", "API.Open-Meteo.com:443",
    "api\u3002open-meteo\uff0ecom", "\uff41pi.open-meteo\uff61com",
)  # fmt: skip


@pytest.mark.parametrize(
    "base_url", ["", *(f'\nbase_url = "https://{host}"' for host in FREE_HOSTS)]
)
def test_the_free_host_demands_a_word_on_what_it_is_for(tmp_path: Path, base_url: str) -> None:
    for more in ("", "\nnoncommercial = false"):
        (sentence,) = read(tmp_path, f'name = "open_meteo"{base_url}{more}')
        assert "the free host is for non-commercial use only" in sentence
        assert "api_key_env" in sentence
    assert read(tmp_path, f'name = "open_meteo"{base_url}\nnoncommercial = true') == []
    assert read(tmp_path, f'name = "open_meteo"{base_url}\napi_key_env = "METEO"') == []


def test_a_mirror_of_one_s_own_is_not_the_free_host(tmp_path: Path) -> None:
    assert read(tmp_path, 'name = "open_meteo"\nbase_url = "http://127.0.0.1:80"') == []
    assert read(tmp_path, 'name = "open_meteo"\nbase_url = "https://xopen-meteo.com"') == []


@pytest.mark.parametrize("key", ["api_key", "apikey", "key", "token", "password"])
def test_a_key_itself_is_refused_and_not_repeated(tmp_path: Path, key: str) -> None:
    sentences = read(tmp_path, f'name = "open_meteo"\nnoncommercial = true\n{key} = "s3cr3t"')
    assert "a secret does not belong in this file" in sentences[0]
    assert "s3cr3t" not in "".join(sentences)


def test_a_key_in_the_place_of_its_variable_is_refused_and_not_repeated(tmp_path: Path) -> None:
    (sentence,) = read(tmp_path, 'name = "open_meteo"\napi_key_env = "s3cr3t-42"')
    assert "is not the name of an environment variable" in sentence
    assert "s3cr3t" not in sentence


def test_a_key_has_one_place(tmp_path: Path) -> None:
    (tmp_path / "key").write_text("x")
    both = 'name = "open_meteo"\napi_key_env = "METEO"\napi_key_file = "key"'
    assert "stands beside api_key_env" in read(tmp_path, both)[0]


def test_a_key_file_must_exist(tmp_path: Path) -> None:
    (sentence,) = read(tmp_path, 'name = "open_meteo"\napi_key_file = "key"')
    assert 'api_key_file: "key" is not a file' in sentence


@pytest.mark.parametrize(
    ("source", "told_of"),
    [
        ('name = "files"', "folder: is missing"),
        ('name = "files"\nfolder = "nowhere"', 'folder: "nowhere" is not a folder'),
        ('name = "files"\nfolder = 5', "folder: 5 is not a path"),
        ('name = "station_daily"', "station: is missing, and file too"),
        ('name = "station_daily"\nfile = "nowhere.csv"', 'file: "nowhere.csv" is not a file'),
        ('name = "station_daily"\nstation = "KBOI"', "is not a station of the daily archive"),
        ('name = "nws"\nfolder = "x"', "folder: has no meaning for nws; nws knows base_url"),
        ('name = "nws"\nobservations = "yes"', 'observations: "yes" is not true or false'),
        ('name = "nws"\nbase_url = "ftp://x.example"', "is not a web address"),
        ('name = "open_meteo"\nbase_url = "http://[::1"', "base_url: is not a web address"),
        ('name = "nws"\nfolders = "x"', 'is not a known key; did you mean "folder"?'),
        ('name = ["nws"]', "a list is not a source"),
        ("observations = true", 'name: is missing; write name = "nws"'),
    ],
)
def test_a_fault_of_a_source_is_told_at_its_key(tmp_path: Path, source: str, told_of: str) -> None:
    sentences = read(tmp_path, source)
    assert len(sentences) == 1
    assert told_of in sentences[0]
    assert sentences[0].startswith("outfit.toml:1")
