"""The text of a file that a person wrote, or one fault that says why it cannot be read."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from support.configs import faults_of

from windowcast.problems import Fault
from windowcast.settings.text_files import is_there, read_text


def read(path: Path, cap_bytes: int = 1000) -> str:
    return read_text(path, cap_bytes=cap_bytes, if_missing="write one")


def fault(path: Path, cap_bytes: int = 1000) -> Fault:
    (one,) = faults_of(lambda: read(path, cap_bytes))
    assert one.file == path.name
    assert one.cure
    return one


def written(tmp_path: Path, content: bytes) -> Path:
    path = tmp_path / "yards.csv"
    path.write_bytes(content)
    return path


def test_a_byte_order_mark_and_foreign_line_ends_do_not_matter(tmp_path: Path) -> None:
    assert read(written(tmp_path, b"\xef\xbb\xbfname,lat\r\nK,1\rL,2\n")) == "name,lat\nK,1\nL,2\n"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_utf_16_of_a_spreadsheet_is_recognised(tmp_path: Path, encoding: str) -> None:
    one = fault(written(tmp_path, "key,name\nkiln,Kiln\n".encode(encoding)))
    assert "UTF-16" in one.found
    assert "CSV UTF-8" in one.cure


def test_a_byte_that_is_not_utf_8_has_its_line(tmp_path: Path) -> None:
    one = fault(written(tmp_path, "name\nKiln\nCañada\n".encode("cp1252")))
    assert (one.line, one.found) == (3, "has a byte (0xF1) that is not UTF-8")


def test_a_nul_byte_has_its_line(tmp_path: Path) -> None:
    one = fault(written(tmp_path, b"name\nK\0iln\n"))
    assert one.line == 2
    assert "NUL" in one.found


@pytest.mark.parametrize("begin", [b"PK\x03\x04", b"\xd0\xcf\x11\xe0"])
def test_a_workbook_is_recognised(tmp_path: Path, begin: bytes) -> None:
    assert "workbook" in fault(written(tmp_path, begin + b"rest")).found


def test_a_missing_file_is_said_to_be_missing(tmp_path: Path) -> None:
    one = fault(tmp_path / "yards.csv")
    assert (one.found, one.cure) == ("is missing", "write one")


def test_a_folder_in_the_place_of_a_file_is_said_to_be_one(tmp_path: Path) -> None:
    assert fault(tmp_path).found == "is a folder"


def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    assert fault(tmp_path / "pipe").found == "is not a plain file"


def test_a_file_that_the_system_will_not_open_has_the_reason(tmp_path: Path) -> None:
    (tmp_path / "ring").symlink_to(tmp_path / "ring")
    assert "symbolic links" in fault(tmp_path / "ring").found
    assert "cannot be read" in fault(tmp_path / ("x" * 300)).found
    assert "cannot be read" in fault(Path("a\0b")).found


def test_a_file_may_be_as_large_as_the_cap_and_no_larger(tmp_path: Path) -> None:
    path = written(tmp_path, b"x" * 2048)
    assert len(read(path, 2048)) == 2048
    assert fault(path, 2047).found == "is larger than 1 kB"


def test_a_dangling_link_is_there(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(tmp_path / "nothing")
    assert is_there(tmp_path / "link")
    assert not is_there(tmp_path / "nothing")
    assert is_there(tmp_path / ("x" * 300))  # nobody can say that it is not
