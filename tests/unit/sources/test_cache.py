import gzip
import json
import logging
import os
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from datetime import timedelta
from multiprocessing import get_context
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.fetching import NOW

from windowcast.sources.cache import AnswerCache
from windowcast.sources.kept import Kept, unpacked

KEY = "ab" * 32
DAY_S = 86_400
KEPT = Kept(
    body=b'{"temperature": 4.4}' * 50,
    url="https://api.weather.gov/gridpoints/BOI/59,84",
    fetched_at=NOW,
    etag='W/"abc"',
    last_modified="Tue, 12 Jan 2027 12:30:00 GMT",
    max_age_s=600.0,
)


def entry(folder: Path, key: str = KEY) -> Path:
    return folder / f"{key}.answer"


def test_what_is_stored_is_loaded(tmp_path: Path) -> None:
    AnswerCache(tmp_path / "state" / "cache").store(KEY, KEPT)
    assert AnswerCache(tmp_path / "state" / "cache").load(KEY) == KEPT


def test_an_unknown_key_and_a_folder_that_is_not_there_are_absent_in_silence(
    tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    cache = AnswerCache(tmp_path / "none")
    assert cache.load(KEY) is None
    cache.drop(KEY)
    assert not caplog.records


def test_the_body_is_kept_as_gzip_and_nobody_else_may_read_it(tmp_path: Path) -> None:
    AnswerCache(tmp_path).store(KEY, KEPT)
    head, _, tail = entry(tmp_path).read_bytes().partition(b"\n")
    assert json.loads(head)["etag"] == 'W/"abc"'
    assert gzip.decompress(tail) == KEPT.body
    assert entry(tmp_path).stat().st_mode & 0o077 == 0


def test_a_dropped_answer_is_absent(tmp_path: Path) -> None:
    cache = AnswerCache(tmp_path)
    cache.store(KEY, KEPT)
    cache.drop(KEY)
    assert cache.load(KEY) is None


def test_an_entry_cut_anywhere_counts_as_absent(tmp_path: Path) -> None:
    AnswerCache(tmp_path).store(KEY, KEPT)
    whole = entry(tmp_path).read_bytes()
    for size in range(len(whole) - 16):  # in the last few bytes the whole body has gone by
        entry(tmp_path).write_bytes(whole[:size])
        assert AnswerCache(tmp_path).load(KEY) is None


def test_a_changed_body_counts_as_absent(tmp_path: Path) -> None:
    AnswerCache(tmp_path).store(KEY, KEPT)
    head = entry(tmp_path).read_bytes().partition(b"\n")[0]
    other = gzip.compress(KEPT.body.replace(b"4.4", b"4.5"))
    entry(tmp_path).write_bytes(head + b"\n" + other)
    assert AnswerCache(tmp_path).load(KEY) is None


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("fetched_at", "2027-01-12T13:00:00"),
        ("fetched_at", "yesterday"),
        ("fetched_at", 5),
        ("max_age_s", float("nan")),
        ("max_age_s", -1),
        ("max_age_s", "soon"),
        ("size", -1),
        ("size", 1e400),
        ("size", 10**12),
        ("size", "many"),
    ],
)
def test_an_entry_with_an_impossible_field_counts_as_absent(
    tmp_path: Path, field: str, value: object
) -> None:
    AnswerCache(tmp_path).store(KEY, KEPT)
    head, _, tail = entry(tmp_path).read_bytes().partition(b"\n")
    entry(tmp_path).write_bytes(
        json.dumps(json.loads(head) | {field: value}).encode() + b"\n" + tail
    )
    assert AnswerCache(tmp_path).load(KEY) is None


@pytest.mark.parametrize("etag", ["", " x", "a\nb: c", "蜂", 5, None])
def test_a_condition_that_no_header_can_carry_is_left_out(tmp_path: Path, etag: object) -> None:
    AnswerCache(tmp_path).store(KEY, KEPT)
    head, _, tail = entry(tmp_path).read_bytes().partition(b"\n")
    entry(tmp_path).write_bytes(
        json.dumps(json.loads(head) | {"etag": etag}).encode() + b"\n" + tail
    )
    assert AnswerCache(tmp_path).load(KEY) == replace(KEPT, etag=None)


@given(st.binary(max_size=200) | st.binary(max_size=80).map(lambda tail: b"{}\n" + tail))
def test_any_bytes_in_place_of_an_entry_count_as_absent(garbage: bytes) -> None:
    assert unpacked(garbage) is None


def test_deeply_nested_json_in_place_of_an_entry_counts_as_absent() -> None:
    assert unpacked(b"[" * 200_000) is None


def test_a_bomb_in_place_of_a_body_is_not_unfolded() -> None:
    head = json.dumps({"size": 10, "sha256": ""}).encode()
    assert unpacked(head + b"\n" + gzip.compress(bytes(10**7))) is None


def fresh(max_age_s: float | None, age: timedelta, keep_h: float = 0.0) -> bool:
    return replace(KEPT, max_age_s=max_age_s).is_fresh(NOW + age, keep_h)


def test_a_copy_is_fresh_until_its_max_age_and_not_longer() -> None:
    assert fresh(600.0, timedelta(seconds=599))
    assert not fresh(600.0, timedelta(seconds=600))


def test_no_max_age_means_asking_again() -> None:
    assert not fresh(None, timedelta(0))
    assert not fresh(0.0, timedelta(0))


def test_a_long_max_age_ends_after_six_hours() -> None:
    assert fresh(10 * DAY_S, timedelta(hours=6, seconds=-1))
    assert not fresh(10 * DAY_S, timedelta(hours=6))
    assert not fresh(float("inf"), timedelta(hours=6))


def test_keep_h_goes_before_max_age() -> None:
    assert fresh(None, timedelta(hours=335), keep_h=336)
    assert not fresh(None, timedelta(hours=336), keep_h=336)
    assert not fresh(600.0, timedelta(seconds=300), keep_h=0.05)


def test_a_copy_from_the_future_is_never_fresh() -> None:
    assert fresh(600.0, timedelta(0))
    assert not fresh(600.0, timedelta(seconds=-1))
    assert not fresh(None, timedelta(seconds=-1), keep_h=336)


def aged(path: Path, days: float) -> None:
    seconds = path.stat().st_mtime - days * DAY_S
    os.utime(path, (seconds, seconds))


def test_entries_of_more_than_thirty_days_go_when_the_first_new_one_comes(tmp_path: Path) -> None:
    earlier = AnswerCache(tmp_path)
    for key in ("old", "young"):
        earlier.store(key, KEPT)
    aged(entry(tmp_path, "old"), 30.01)
    aged(entry(tmp_path, "young"), 29.99)
    AnswerCache(tmp_path).store(KEY, KEPT)
    assert {path.stem for path in tmp_path.iterdir()} == {"young", KEY}


def test_the_oldest_go_when_the_folder_is_full(tmp_path: Path) -> None:
    earlier = AnswerCache(tmp_path)
    for days, key in enumerate(("new", "middle", "last"), start=1):
        earlier.store(key, KEPT)
        aged(entry(tmp_path, key), days)
    size = entry(tmp_path, "new").stat().st_size
    AnswerCache(tmp_path, folder_bytes=3 * size).store(KEY, KEPT)
    assert {path.stem for path in tmp_path.iterdir()} == {"new", "middle", KEY}


def test_half_written_files_of_crashed_runs_go_and_those_of_others_at_work_stay(
    tmp_path: Path,
) -> None:
    for name in ("crashed.part", "at-work.part", "a-file-of-yours.txt"):
        (tmp_path / name).write_bytes(b"half")
    aged(tmp_path / "crashed.part", 0.05)
    aged(tmp_path / "a-file-of-yours.txt", 99)
    AnswerCache(tmp_path).store(KEY, KEPT)
    names = {path.name for path in tmp_path.iterdir()}
    assert names == {"at-work.part", "a-file-of-yours.txt", f"{KEY}.answer"}


def use(cache: AnswerCache) -> None:
    cache.store(KEY, KEPT)
    assert cache.load(KEY) is None
    cache.drop(KEY)


def folder_is_a_file(tmp_path: Path) -> Path:
    (tmp_path / "cache").write_text("in the way")
    return tmp_path / "cache"


def place_is_a_folder(tmp_path: Path) -> Path:
    (tmp_path / f"{KEY}.answer").mkdir()
    return tmp_path


def nothing_can_be_made_there(_: Path) -> Path:
    return Path("/proc/self/windowcast")


@pytest.mark.parametrize("broken", [folder_is_a_file, place_is_a_folder, nothing_can_be_made_there])
def test_a_folder_that_cannot_be_used_is_said_once_and_costs_only_the_cache(
    tmp_path: Path, caplog: pytest.LogCaptureFixture, broken: Callable[[Path], Path]
) -> None:
    cache = AnswerCache(broken(tmp_path))
    use(cache)
    use(cache)
    assert [record.levelno for record in caplog.records] == [logging.WARNING]
    assert "every answer is asked for anew" in caplog.text


def test_a_failed_write_leaves_no_half_file(tmp_path: Path) -> None:
    use(AnswerCache(place_is_a_folder(tmp_path)))
    assert not list(tmp_path.glob("*.part"))


def write_and_read(folder: str, number: int) -> int:
    cache = AnswerCache(Path(folder))
    seen = 0
    for turn in range(40):
        cache.store(KEY, replace(KEPT, body=b"%d-%d;" % (number, turn) * 5_000))
        loaded = cache.load(KEY)
        assert loaded is not None
        assert len(set(loaded.body.split(b";"))) == 2  # one writer's body, whole, and the end
        seen += 1
    return seen


def test_processes_that_share_a_folder_see_whole_answers_only(tmp_path: Path) -> None:
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as processes:
        counts = list(processes.map(write_and_read, [str(tmp_path)] * 2, [1, 2]))
    assert counts == [40, 40]
    assert not list(tmp_path.glob("*.part"))
