"""The two set-up scripts on machines that lack something; stand-ins for Python, no network."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest
from support.tree import ROOT

TOOLS = ("cat", "cksum", "cp", "dirname", "rm", "sh")
SCRIPTS = ("deploy/demo", "deploy/test")


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    """A machine with a checkout in a path with a space, and no Python at all."""
    (tmp_path / "bin").mkdir()
    for tool in TOOLS:
        found = shutil.which(tool)
        assert found, f"this test needs {tool}"
        (tmp_path / "bin" / tool).symlink_to(found)
    checkout = tmp_path / "a checkout"
    shutil.copytree(ROOT / "deploy", checkout / "deploy")
    shutil.copy(ROOT / "pyproject.toml", checkout)
    return tmp_path


def stand_in(path: Path, *, version: str, venv: bool) -> None:
    """A Python that answers what the scripts ask it, and else prints its arguments."""
    path.parent.mkdir(parents=True, exist_ok=True)
    enough = 0 if int(version.partition(".")[2]) >= 11 else 1
    path.write_text(
        f"""#!/bin/sh
case "$*" in
*"version_info <"*) exit {enough} ;;
*version_info*) echo {version} ;;
*ensurepip*) exit {0 if venv else 1} ;;
*"import pip"*) exit 0 ;;
*) echo "asked: $*" ;;
esac
""",
        encoding="utf-8",
    )
    path.chmod(0o755)


def run(
    machine: Path, script: str, *arguments: str, **env: str
) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["/bin/sh", str(machine / "a checkout" / script), *arguments],
        env={"PATH": str(machine / "bin"), **env},
        cwd=machine,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("script", SCRIPTS)
def test_a_machine_without_python_is_told_what_to_install(machine: Path, script: str) -> None:
    done = run(machine, script)
    assert done.returncode == 1
    assert done.stdout == ""
    assert "no working python3 was found; windowcast needs Python 3.11 or newer" in done.stderr
    assert "apt install python3 python3-venv" in done.stderr


def test_an_old_python_is_named_with_its_version(machine: Path) -> None:
    stand_in(machine / "bin" / "python3", version="3.9", venv=True)
    done = run(machine, "deploy/demo")
    assert done.returncode == 1
    assert "Python 3.9 is too old; windowcast needs 3.11 or newer" in done.stderr


def test_a_python_without_venv_is_told_which_package_brings_it(machine: Path) -> None:
    stand_in(machine / "bin" / "python3", version="3.9", venv=True)
    stand_in(machine / "bin" / "python3.12", version="3.12", venv=False)
    done = run(machine, "deploy/test")
    assert done.returncode == 1
    assert "apt install python3.12-venv" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_the_python_that_was_named_is_the_one_that_is_judged(machine: Path) -> None:
    stand_in(machine / "bin" / "python3", version="3.12", venv=True)
    stand_in(machine / "other" / "python", version="3.10", venv=True)
    done = run(machine, "deploy/demo", PYTHON=str(machine / "other" / "python"))
    assert "Python 3.10 is too old" in done.stderr


def test_a_ready_environment_is_used_as_it_is(machine: Path) -> None:
    checkout = machine / "a checkout"
    stand_in(checkout / ".venv" / "bin" / "python", version="3.12", venv=True)
    project = (checkout / "pyproject.toml").read_bytes()
    sums = subprocess.run(["cksum"], input=project, capture_output=True, check=True)
    stamp = f"{checkout.resolve()} {sums.stdout.decode().strip()} 3.12"
    (checkout / ".venv" / "windowcast-demo").write_text(stamp)
    done = run(machine, "deploy/demo", "--json")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == "asked: -m windowcast demo --json\n"


def test_an_environment_made_elsewhere_is_filled_anew(machine: Path) -> None:
    checkout = machine / "a checkout"
    stand_in(checkout / ".venv" / "bin" / "python", version="3.12", venv=True)
    (checkout / ".venv" / "windowcast-demo").write_text("/another/place 1 2 3.12")
    done = run(machine, "deploy/demo")
    assert done.stdout == "asked: -m windowcast demo\n"
    stamp = (checkout / ".venv" / "windowcast-demo").read_text()
    assert stamp.startswith(f"{checkout.resolve()} ")


@pytest.mark.parametrize("script", [*SCRIPTS, ".ci/run"])
def test_a_script_may_be_executed(script: str) -> None:
    assert os.access(ROOT / script, os.X_OK)
