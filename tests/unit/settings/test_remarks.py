"""What is odd about a configuration without being wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from support.configs import LABEL, OUTFIT, YARDS, write_config

from windowcast.settings import load_settings
from windowcast.settings.remarks import remarks_on

REAL = OUTFIT.replace("vellamoor.example", "vellamoor-bees.net")


def remarks(tmp_path: Path, environment: dict[str, str] | None = None, **texts: str) -> list[str]:
    folder = write_config(tmp_path, **{"outfit": REAL, **texts})
    return list(remarks_on(load_settings(folder), environment or {}))


def test_a_sound_configuration_has_none(tmp_path: Path) -> None:
    assert remarks(tmp_path) == []


@pytest.mark.parametrize(
    "contact", ["office@vellamoor.example", "a@example.com", "https://x.invalid/me", "a@b.test"]
)
def test_an_example_of_an_address_is_remarked_on(tmp_path: Path, contact: str) -> None:
    outfit = REAL.replace("office@vellamoor-bees.net", contact)
    assert remarks(tmp_path, outfit=outfit)[0].startswith("outfit.toml: contact is an example")


def test_an_example_of_an_address_is_fine_where_nobody_is_asked(tmp_path: Path) -> None:
    (tmp_path / "answers").mkdir()
    outfit = OUTFIT.replace('name = "nws"', 'name = "files"\nfolder = "answers"')
    assert remarks(tmp_path, outfit=outfit) == []


def test_sources_of_the_past_alone_are_remarked_on(tmp_path: Path) -> None:
    outfit = REAL.replace('"nws"', '"station_daily"\nstation = "USC00000000"')
    assert remarks(tmp_path, outfit=outfit) == ["outfit.toml: no source tells a forecast; add nws"]


def test_a_variable_that_is_not_set_is_remarked_on(tmp_path: Path) -> None:
    outfit = REAL.replace('"nws"', '"open_meteo"\napi_key_env = "METEO_KEY"')
    (remark,) = remarks(tmp_path, outfit=outfit)
    assert "the environment variable METEO_KEY is not set here" in remark
    assert remarks(tmp_path, {"METEO_KEY": "x"}, outfit=outfit) == []


MAIL = (
    '[mail]\nhost = "x"\nuser = "bees"\npassword_env = "P"\nfrom = "a@b.example"\n'
    'to = ["a@b.example"]\n'
)
POST = '[[posts]]\nname = "barn"\nurl = "https://x.example"\ntoken_file = "barn.token"\n'


def test_a_password_or_token_that_is_not_there_is_remarked_on(tmp_path: Path) -> None:
    password, token = remarks(tmp_path, outfit=REAL + MAIL + POST)
    assert password.startswith("outfit.toml: mail.password_env: the environment variable P holds")
    assert token.startswith("outfit.toml: posts.barn.token_file: the file barn.token is missing")
    (tmp_path / "barn.token").write_text("s3cr3t")
    assert remarks(tmp_path, {"P": "s3cr3t"}, outfit=REAL + MAIL + POST) == []


def test_a_morning_that_runs_by_itself_and_is_sent_to_nobody_is_remarked_on(
    tmp_path: Path,
) -> None:
    timed = 'zone = "America/Boise"\nrun_at = ["06:00"]\n' + REAL
    (remark,) = remarks(tmp_path, outfit=timed)
    assert remark.endswith("neither [mail] nor [[posts]]: nobody is told")
    assert remarks(tmp_path, {"P": "x"}, outfit=timed + MAIL) == []
    (tmp_path / "barn.token").write_text("x")
    assert remarks(tmp_path, outfit=timed + POST) == []


def test_yards_without_colonies_are_remarked_on(tmp_path: Path) -> None:
    none = YARDS.replace("12,4,0,2", "0,0,0,0")
    assert "heron-slough" in remarks(tmp_path, yards=none)[0]
    bare = "name,lat,lon\nKiln,45.9,-119.6\n"
    assert "no yard has colonies" in remarks(tmp_path, yards=bare)[0]


def test_a_label_read_for_another_state_is_remarked_on(tmp_path: Path) -> None:
    (remark,) = remarks(tmp_path, label='state = "id"\n' + LABEL)
    assert remark.startswith("label.toml: it was read for ID; these yards lie elsewhere: kiln,")
    assert remarks(tmp_path, label='state = "WA"\n' + LABEL) == []
    assert remarks(tmp_path, label='state = "Idaho"\n' + LABEL) == []
