"""``yards.csv`` is replaced whole, and the old one is kept."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from support.tree import ROOT

from windowcast.settings.yard_swap import BEFORE, ChangedMeanwhileError, bytes_of, replace_yards


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_the_new_text_stands_there_and_the_old_one_beside_it(tmp_path: Path) -> None:
    (tmp_path / "yards.csv").write_bytes(b"\xef\xbb\xbfold\r\n")
    replace_yards(tmp_path, "new \u00e9\n", instead_of=bytes_of(tmp_path))
    assert bytes_of(tmp_path) == "new \u00e9\n".encode()
    assert (tmp_path / BEFORE).read_bytes() == b"\xef\xbb\xbfold\r\n"
    assert names(tmp_path) == ["yards.csv", "yards.csv.before"]


def test_where_nothing_was_nothing_is_kept(tmp_path: Path) -> None:
    replace_yards(tmp_path, "new\n", instead_of=bytes_of(tmp_path))
    assert names(tmp_path) == ["yards.csv"]


@pytest.mark.parametrize("meanwhile", [b"theirs", None])
def test_a_change_of_somebody_else_is_not_lost(tmp_path: Path, meanwhile: bytes | None) -> None:
    (tmp_path / "yards.csv").write_bytes(b"theirs")
    with pytest.raises(ChangedMeanwhileError):
        replace_yards(tmp_path, "new\n", instead_of=b"old" if meanwhile else None)
    assert bytes_of(tmp_path) == b"theirs"
    assert names(tmp_path) == ["yards.csv"]


def test_a_link_stays_a_link_and_permissions_stay(tmp_path: Path) -> None:
    kept, bees = tmp_path / "kept", tmp_path / "bees"
    kept.mkdir()
    bees.mkdir()
    (kept / "yards.csv").write_text("old")
    (kept / "yards.csv").chmod(0o640)
    (bees / "yards.csv").symlink_to(kept / "yards.csv")
    replace_yards(bees, "new\n", instead_of=b"old")
    assert (bees / "yards.csv").is_symlink()
    assert (kept / "yards.csv").read_text() == "new\n"
    assert (kept / "yards.csv").stat().st_mode & 0o777 == 0o640
    assert names(kept) == ["yards.csv", "yards.csv.before"]


def test_a_kill_at_any_time_leaves_one_of_the_two_texts_whole(tmp_path: Path) -> None:
    code = (
        "import sys, pathlib\n"
        "from windowcast.settings.yard_swap import bytes_of, replace_yards\n"
        "folder = pathlib.Path(sys.argv[1])\n"
        "print('ready', flush=True)\n"
        "for n in range(10**9):\n"
        "    replace_yards(folder, 'ab'[n % 2] * 50_000, instead_of=bytes_of(folder))\n"
    )
    for wait_s in (0.0, 0.003, 0.011, 0.027):
        with subprocess.Popen(
            [sys.executable, "-c", code, str(tmp_path)], cwd=ROOT, stdout=subprocess.PIPE
        ) as running:
            assert running.stdout is not None
            running.stdout.readline()
            time.sleep(wait_s)
            running.kill()
        found = bytes_of(tmp_path)
        assert found in (None, b"a" * 50_000, b"b" * 50_000)
    assert found is not None


def test_what_is_no_plain_file_is_not_read(tmp_path: Path) -> None:
    assert bytes_of(tmp_path) is None
    os.mkfifo(tmp_path / "yards.csv")
    assert bytes_of(tmp_path) is None


def test_what_cannot_be_written_leaves_the_old_file(tmp_path: Path) -> None:
    (tmp_path / "yards.csv").write_text("old")
    os.mkdir(tmp_path / BEFORE)
    with pytest.raises(OSError, match="directory"):
        replace_yards(tmp_path, "new\n", instead_of=b"old")
    assert bytes_of(tmp_path) == b"old"
    assert names(tmp_path) == ["yards.csv", "yards.csv.before"]
