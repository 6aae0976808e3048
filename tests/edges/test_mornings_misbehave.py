"""Each way in which a service can fail, through the whole program over real sockets.

A failing service ends in the next source or in a blind yard, with one clear sentence and the
right exit status, within the deadline; never in a traceback, and never in "good".
"""

import gzip
import json
import time
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from support import office
from support.nws_payloads import body, point
from support.server import (
    Reply,
    WeatherServer,
    closed_port,
    gzip_bomb,
    html_reply,
    json_reply,
    problem_reply,
    redirect,
)


@pytest.fixture
def served(tmp_path):
    """A running office and its configuration."""
    with WeatherServer(office.office_routes()) as server:
        yield server, office.configured(tmp_path / "bees", server.url)


def with_grid(**changes):
    """The sound grid with changed properties; a value of None takes one away."""
    answer = office.sound_grid()
    for name, value in changes.items():
        if value is None:
            answer["properties"].pop(name)
        else:
            answer["properties"][name] = value
    return Reply(body=body(answer))


def spoiled(layer, value, uom=None):
    """The sound grid with every value of one layer replaced."""
    answer = office.sound_grid()
    for element in answer["properties"][layer]["values"]:
        element["value"] = value
    if uom:
        answer["properties"][layer]["uom"] = uom
    return Reply(body=body(answer))


SOUND = body(office.sound_grid())
BROKEN = {
    "hangs": Reply(body=SOUND, hang_s=30),
    "drips its headers": Reply(body=SOUND, drip_headers_s=0.2),
    "drips its body": Reply(body=SOUND, drip_body_s=0.2),
    "resets": Reply(body=SOUND, reset=True),
    "cuts the body": Reply(body=SOUND, cut_at=2000),
    "leads elsewhere": redirect("http://192.0.2.1/gridpoints/ZZZ/10,20"),
    "leads in a circle": redirect(office.GRID),
    "says 403": html_reply(status=403),
    "says 404": problem_reply(404, "NotFound", "Marine Forecast Not Supported"),
    "says 429": Reply(status=429, headers={"retry-after": "3600"}),
    "says 500": problem_reply(500, "UnexpectedProblem", "An unexpected problem has occurred."),
    "says 502 in HTML": html_reply(status=502),
    "says 503": problem_reply(503, "ForecastGridExpired", "issued yesterday and has expired"),
    "sends HTML for JSON": html_reply(),
    "sends plain text": Reply(body=b"error code: 525"),
    "sends nothing": Reply(body=b""),
    "sends half a JSON": Reply(body=SOUND[: len(SOUND) // 2]),
    "sends a list": json_reply([]),
    "sends an empty object": json_reply({}),
    "sends NaN": Reply(body=SOUND.replace(b'"value": 7.0', b'"value": NaN')),
    "sends a bomb": gzip_bomb(200 * 2**20),
    "lacks the temperature": with_grid(temperature=None),
    "lacks the wind": with_grid(windSpeed=None),
    "has an empty temperature": with_grid(temperature={"values": []}),
    "has only null winds": spoiled("windSpeed", None),
    "has a temperature of 300": spoiled("temperature", 300),
    "has a unit of another kind": spoiled("temperature", 7, "wmoUnit:percent"),
    "has an unknown unit": spoiled("windSpeed", 5, "wmoUnit:furlong"),
    "has text for numbers": spoiled("temperature", "warm"),
    "was issued three days ago": Reply(
        body=body(office.sound_grid(issued=office.ISSUED - timedelta(days=3)))
    ),
    "was issued tomorrow": Reply(
        body=body(office.sound_grid(issued=office.ISSUED + timedelta(days=1)))
    ),
    "is of another place": Reply(body=body(office.sound_grid(lat=office.LAT + 1))),
}


def test_a_sound_office_gives_a_good_day_and_status_0(served):
    _, folder = served
    ran = office.morning(folder, "--json")
    assert ran.returncode == 0
    assert json.loads(ran.stdout)["days"][0]["verdict"] == "good"


@pytest.mark.parametrize("fault", BROKEN, ids=lambda name: name.replace(" ", "-"))
def test_a_grid_that_fails_blinds_the_yard_with_one_sentence(served, fault):
    server, folder = served
    server.routes[office.GRID] = BROKEN[fault]
    began = time.monotonic()
    ran = office.morning(folder, "--json")
    assert time.monotonic() - began < 25
    assert ran.returncode == 4, ran.stdout + ran.stderr
    assert ran.stdout == ""
    sentence = ran.stderr.strip().splitlines()
    assert len(sentence) == 2
    assert "nws" in sentence[1]
    assert "<" not in ran.stderr


@pytest.mark.parametrize("fault", ["hangs", "says 503", "sends half a JSON", "lacks the wind"])
def test_a_yard_takes_the_next_source_when_the_first_fails(served, tmp_path, fault):
    server, folder = served
    server.routes[office.GRID] = BROKEN[fault]
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / "grid.json").write_bytes(SOUND)
    (tmp_path / "kept" / "point.json").write_bytes(server.routes[office.POINT].body)
    office.configured(folder, server.url, '[[sources]]\nname = "files"\nfolder = "../kept"')
    ran = office.morning(folder, "--json")
    assert ran.returncode == 0, ran.stderr
    told = json.loads(ran.stdout)
    assert told["days"][0]["verdict"] == "good"
    assert [source["name"] for source in told["sources"]] == ["files"]
    assert any("nws" in remark for remark in told["remarks"])


def test_a_closed_port_ends_quickly_with_status_4(tmp_path):
    folder = office.configured(tmp_path / "bees", f"http://127.0.0.1:{closed_port()}", tries=3)
    ran = office.morning(folder)
    assert ran.returncode == 4
    assert "no usable forecast" in ran.stderr


def test_one_blind_yard_among_others_is_named_and_ends_in_status_5(served):
    _, folder = served
    table = folder / "yards.csv"
    table.write_text(table.read_text() + f"bench,Bench,{office.LAT + 0.5},{office.LON},12\n")
    ran, text = office.morning(folder, "--json"), office.morning(folder)
    assert (ran.returncode, text.returncode) == (5, 5)
    told = json.loads(ran.stdout)
    assert [blind["key"] for blind in told["blind"]] == ["bench"]
    assert {yard["key"]: len(yard["days"]) for yard in told["yards"]}["bench"] == 0
    assert "bench" in "\n".join(text.stdout.splitlines()[:10])


def test_a_redirect_inside_the_service_is_followed_by_its_path(served):
    server, folder = served
    server.routes["/moved"] = server.routes[office.GRID]
    server.routes[office.GRID] = redirect("https://api.weather.gov/moved")
    assert office.morning(folder).returncode == 0


def test_a_grid_that_moved_is_found_again(served):
    server, folder = served
    assert office.morning(folder).returncode == 0
    new = "/gridpoints/ZZZ/11,20"
    moved = office.sound_grid()
    moved["properties"]["gridX"] = "11"
    server.routes |= {
        office.GRID: problem_reply(404, "NotFound", "Marine Forecast Not Supported"),
        new: Reply(body=body(moved)),
        f"{new}/stations": server.routes[office.STATIONS],
        office.POINT: Reply(
            body=body(
                point(office.LAT, office.LON, office="ZZZ", x=11, y=20, tz="America/Los_Angeles")
            )
        ),
    }
    assert office.morning(folder).returncode == 0


def test_an_office_without_rain_amounts_and_chances_is_never_good(served):
    server, folder = served
    server.routes[office.GRID] = with_grid(
        quantitativePrecipitation=None, probabilityOfPrecipitation=None
    )
    ran = office.morning(folder, "--json")
    assert ran.returncode == 0
    assert {day["verdict"] for day in json.loads(ran.stdout)["days"]} <= {"workable", "poor"}


def test_one_wild_temperature_takes_its_hour_and_is_named(served):
    server, folder = served
    temps = office.day_and_night()
    temps[12] = 300.0
    server.routes[office.GRID] = Reply(body=body(office.sound_grid(temp_c=temps)))
    ran = office.morning(folder, "--json")
    told = json.loads(ran.stdout)
    first = told["yards"][0]["days"][0]
    assert (first["start"][11:16], first["end"][11:16]) in {("08:00", "12:00"), ("13:00", "16:00")}
    assert any("300" in remark and "temperature" in remark for remark in told["remarks"])


def test_a_zipped_answer_is_read(served):
    server, folder = served
    server.routes[office.GRID] = Reply(
        body=gzip.compress(SOUND), headers={"content-encoding": "gzip"}
    )
    assert office.morning(folder).returncode == 0


def test_stations_that_fail_are_a_remark_and_nothing_more(served):
    server, folder = served
    server.routes[office.STATIONS] = replace(html_reply(), status=500)
    ran = office.morning(folder, "--json")
    assert ran.returncode == 0
    assert any("past" in remark for remark in json.loads(ran.stdout)["remarks"])


def test_a_state_folder_that_cannot_be_written_does_not_stop_the_morning(served):
    _, folder = served
    (folder / "state").write_text("a file stands where the folder should be")
    ran = office.morning(folder)
    assert ran.returncode == 0
    assert ran.stdout


def test_a_second_morning_asks_with_conditions_and_every_request_names_its_sender(served):
    server, folder = served
    grid = server.routes[office.GRID]
    server.routes[office.GRID] = [
        replace(grid, headers={"etag": '"one"'}),
        Reply(status=304, headers={"etag": '"one"'}),
    ]
    assert office.morning(folder).returncode == 0
    assert office.morning(folder).returncode == 0
    asked = [request for request in server.asked if request.path == office.GRID]
    assert [request.headers.get("if-none-match") for request in asked] == [None, '"one"']
    assert all("office@vellamoor.example" in a.headers["user-agent"] for a in server.asked)


def test_the_age_is_said_from_12_h_on(served):
    server, folder = served
    for hours, said in ((11, False), (13, True)):
        issued = datetime(2027, 1, 12, 14, tzinfo=UTC) - timedelta(hours=hours)
        server.routes[office.GRID] = Reply(body=body(office.sound_grid(issued=issued)))
        head = "\n".join(office.morning(folder).stdout.splitlines()[:10])
        assert (f"forecast {hours} h old" in head) is said
