"""``windowcast check --online``: every source asked over real HTTP, every request counted."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from support.configs import OUTFIT, write_config
from support.office import GRID, NOW, POINT, configured, office_routes, sound_grid, windowcast
from support.outlooks import outlook
from support.server import Reply, WeatherServer

from windowcast.cli.online import trial_lines, trial_of
from windowcast.problems import SourceDown
from windowcast.settings import load_settings
from windowcast.terms.outlook import Answer

MORNING = datetime(2027, 1, 12, 14, tzinfo=UTC)
REQUESTS = 4  # place, grid, stations, observations


def check(folder: Path, *words: str) -> Any:
    return windowcast("check", "--online", "--config", folder, "--at", NOW, *words)


def test_a_source_that_answers_is_told_with_age_and_requests(
    tmp_path: Path, server: WeatherServer
) -> None:
    server.routes = office_routes()
    ran = check(configured(tmp_path, server.url))
    assert ran.returncode == 0
    assert f"nws: {REQUESTS} requests\n" in ran.stdout
    assert "  kiln  forecast for 174 hours, 3.5 h old" in ran.stdout
    assert f"a morning costs at most {REQUESTS} requests" in ran.stdout
    assert len(server.paths) == REQUESTS


def test_the_document_tells_the_same(tmp_path: Path, server: WeatherServer) -> None:
    server.routes = office_routes()
    online = json.loads(check(configured(tmp_path, server.url), "--json").stdout)["online"]
    (source,) = online["sources"]
    assert (source["name"], source["requests"]) == ("nws", REQUESTS)
    assert source["yards"][0]["issued_at"] == "2027-01-12T10:30:00+00:00"
    assert (source["yards"][0]["age_h"], source["yards"][0]["hours_ahead"]) == (3.5, 174)
    assert (online["requests_of_a_morning"], online["blind"]) == (REQUESTS, {})


def test_without_any_forecast_it_ends_as_a_morning_would(
    tmp_path: Path, server: WeatherServer
) -> None:
    server.routes = {POINT: Reply(status=503)}
    ran = check(configured(tmp_path, server.url))
    assert ran.returncode == 4
    assert "blind: kiln: nws: " in ran.stdout
    assert "Traceback" not in ran.stderr


def test_one_blind_yard_among_others_is_something_missing(
    tmp_path: Path, server: WeatherServer
) -> None:
    server.routes = office_routes()
    configured(tmp_path, server.url)
    with (tmp_path / "yards.csv").open("a") as yards:
        yards.write("ditch,Mill ditch,45.7,-119.6,3\n")
    ran = check(tmp_path)
    assert ran.returncode == 5
    assert "blind: ditch: " in ran.stdout


def test_a_forecast_that_is_too_old_leaves_a_yard_blind(
    tmp_path: Path, server: WeatherServer
) -> None:
    old = sound_grid(issued=datetime(2027, 1, 10, 10, tzinfo=UTC))
    server.routes = {**office_routes(), GRID: office_routes(old)[GRID]}
    ran = check(configured(tmp_path, server.url))
    assert ran.returncode == 4
    assert "52 h old" in ran.stdout


def test_a_faulty_configuration_asks_nobody(tmp_path: Path, server: WeatherServer) -> None:
    folder = configured(tmp_path, server.url)
    (folder / "label.toml").write_text("supers = 1\n")
    assert check(folder).returncode == 3
    assert server.paths == []


class Canned:
    """A source with an answer prepared, or a problem."""

    def __init__(self, name: str, reach_h: int, answer: Answer | SourceDown) -> None:
        self.name, self.reach_h, self.answer, self.asked = name, reach_h, answer, 0

    def outlooks(self, yards: object, now: datetime) -> Answer:
        self.asked += 1
        if isinstance(self.answer, SourceDown):
            raise self.answer
        return self.answer


def test_every_source_is_asked_but_a_morning_pays_only_for_those_it_needs(tmp_path: Path) -> None:
    settings = load_settings(
        write_config(tmp_path, outfit=OUTFIT.replace("units", 'zone = "America/Boise"\nunits'))
    )
    told = {yard.key: outlook(yard.key, MORNING, count=300) for yard in settings.yards}
    first, second = Canned("one", 300, Answer(outlooks=told)), Canned("two", 200, Answer())
    counted = iter([0, 3, 3, 8])
    trial = trial_of([first, second], lambda: next(counted), settings, MORNING)
    assert [(source.name, source.requests) for source in trial.sources] == [("one", 3), ("two", 5)]
    assert (first.asked, second.asked) == (1, 1)
    assert trial.requests_of_a_morning == 3
    assert "  kiln          nothing" in list(trial_lines(trial))


def test_a_source_that_fails_is_told_for_every_yard(tmp_path: Path) -> None:
    settings = load_settings(write_config(tmp_path))
    down = Canned("one", 300, SourceDown("one: refuses"))
    trial = trial_of([down], lambda: 0, settings, MORNING)
    assert {yard.trouble for yard in trial.sources[0].yards} == {"one: refuses"}
    assert trial.blind == {yard.key: "one: refuses" for yard in settings.yards}


def test_a_forecast_that_ends_before_the_next_work_ends_like_the_morning(
    tmp_path: Path, server: WeatherServer
) -> None:
    short = [6.0] * 7 + [None] * 173  # told until 07:00, the crew begins at 08:00
    server.routes = office_routes(sound_grid(temp_c=short))
    folder = configured(tmp_path, server.url)
    ran = check(folder)
    assert ran.returncode == windowcast("morning", "--config", folder, "--at", NOW).returncode == 4
    assert "no working hour ahead" in ran.stdout
