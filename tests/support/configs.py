"""Sound configuration texts, and small ways to spoil them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.toml_places import Document

OUTFIT = """\
name = "Vellamoor Bees"
contact = "office@vellamoor.example"
units = "us"
state = "state"

[[crews]]
name = "A"
start = "08:00"
end = "17:00"
days = ["Mon", "Tue", "Wed"]

[[sources]]
name = "nws"
"""
PRACTICE = """\
[temperature]
best_low = "41 F"

[wind]
calm_to = "7 mph"
none_from = "14 mph"
"""
LABEL = """\
product = "made up"
date_read = 2026-11-03
max_grams_per_chamber = 3.5
min_days_between = 10

[chambers]
double = 2
single = 1
"""
YARDS = """\
key,name,lat,lon,state,doubles,singles,nucs,nucs_above,lane_surface,lane_length,notes
kiln,Kiln,45.90,-119.60,WA,24,0,0,0,gravel,600 ft,"gate, then left"
heron-slough,Heron slough,45.95,-119.65,WA,12,4,0,2,dirt,180 m,
quarry-bench,Quarry bench,46.05,-119.70,WA,30,0,6,0,,,
"""
HEAD = "key,name,lat,lon,doubles\n"
THREE = "a,A,45.90,-119.60,1\nb,B,45.95,-119.65,1\nc,C,46.05,-119.70,1\n"


def write_config(folder: Path, **texts: str) -> Path:
    """A sound configuration in a folder; ``outfit``, ``practice``, ``label``, ``yards`` replace."""
    folder.mkdir(parents=True, exist_ok=True)
    sound = {"outfit": OUTFIT, "practice": PRACTICE, "label": LABEL, "yards": YARDS}
    for stem, text in {**sound, **texts}.items():
        name = f"{stem}.csv" if stem == "yards" else f"{stem}.toml"
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def faults_of(read: Callable[[], object]) -> tuple[Fault, ...]:
    """The faults with which reading ends; none where it succeeds."""
    try:
        read()
    except ConfigProblem as problem:
        return problem.faults
    return ()


def told(read: Callable[[], object]) -> list[str]:
    """The same as sentences."""
    return [str(fault) for fault in faults_of(read)]


def document(text: str, file: str = "outfit.toml") -> Document:
    """A TOML text as a document."""
    return Document(text, file=file)
