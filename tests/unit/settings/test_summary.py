"""What a configuration says, as one document and as lines."""

from __future__ import annotations

from pathlib import Path

from support.configs import OUTFIT, YARDS, write_config

from windowcast.problems import Fault
from windowcast.settings import load_settings
from windowcast.settings.summary import (
    MOST_YARDS_SHOWN,
    CheckDocument,
    counted,
    faulty_document,
    sound_document,
    summary_lines,
)


def document(tmp_path: Path, **texts: str) -> CheckDocument:
    return sound_document(load_settings(write_config(tmp_path, **texts)), {})


def lines(tmp_path: Path, **texts: str) -> list[str]:
    return list(summary_lines(document(tmp_path, **texts)))


def test_a_document_tells_everything_that_counts(tmp_path: Path) -> None:
    found = document(tmp_path)
    assert found.sound
    assert found.colonies == {"doubles": 66, "singles": 4, "nucs": 6, "nucs above a screen": 2}
    assert found.crews[0].days == ("Mon", "Tue", "Wed")
    assert found.sources == ("nws (with station observations)",)
    assert found.label_said["greatest grams per brood chamber"] == "3.5 g"
    assert found.label_said["brood chambers"] == "double 2, single 1"
    assert "supers" in found.label_not_read
    assert CheckDocument.model_validate_json(found.model_dump_json()) == found


def test_the_lines_tell_the_same_to_a_person(tmp_path: Path) -> None:
    told = "\n".join(lines(tmp_path))
    assert told.startswith("Vellamoor Bees: 3 yards, 78 colonies (66 doubles, 4 singles, 6 nucs,")
    assert "  A: 08:00 to 17:00, Mon Tue Wed" in told
    assert "  1. nws (with station observations)" in told
    assert "  kiln               45.9      -119.6  WA    24 colonies" in told
    assert "  not in the file: registration number, state," in told
    assert "  temperature.best_low = 41 F (else 40 F)" in told
    assert told.endswith("no fault found")


def test_what_is_absent_is_said_to_be_absent(tmp_path: Path) -> None:
    told = lines(tmp_path, label="", practice="")
    assert "label: nothing of it is in label.toml" in told
    assert "thresholds: all as the program has them" in told


def test_remarks_stand_at_the_end(tmp_path: Path) -> None:
    told = lines(tmp_path)
    assert told[-3:-1] == ["worth a look", told[-2]]
    assert "contact is an example" in told[-2]


def test_a_source_tells_what_was_configured(tmp_path: Path) -> None:
    (tmp_path / "answers").mkdir()
    outfit = OUTFIT.replace('name = "nws"', 'name = "nws"\nobservations = false') + (
        '[[sources]]\nname = "open_meteo"\nnoncommercial = true\nbase_url = "http://127.0.0.1:9"\n'
        '[[sources]]\nname = "files"\nfolder = "answers"\n'
        '[[sources]]\nname = "station_daily"\nstation = "USC00000000"\n'
    )
    assert document(tmp_path, outfit=outfit).sources == (
        "nws (without station observations)",
        "open_meteo (at http://127.0.0.1:9, for non-commercial use)",
        f"files (folder {tmp_path / 'answers'})",
        "station_daily (station USC00000000)",
    )


def test_many_yards_are_cut_for_a_person_and_not_in_the_document(tmp_path: Path) -> None:
    row = YARDS.splitlines()[1]
    many = [row.replace("kiln", f"k{n}").replace("45.90", f"45.{n:04}") for n in range(100)]
    yards = "\n".join([YARDS.splitlines()[0], *many])
    told = lines(tmp_path, yards=yards)
    assert sum(line.startswith("  k") for line in told) == MOST_YARDS_SHOWN
    assert "  and 40 more (--json lists all)" in told
    assert len(document(tmp_path, yards=yards).yards) == 100


def test_a_faulty_document_lists_the_faults() -> None:
    fault = Fault(file="yards.csv", line=3, field="lat", found="x", cure="y")
    found = faulty_document([fault])
    assert not found.sound
    assert found.faults[0].model_dump() == {
        "file": "yards.csv", "line": 3, "field": "lat", "found": "x", "cure": "y",
    }  # fmt: skip


def test_one_is_singular() -> None:
    assert [counted(n, "yard") for n in (0, 1, 2)] == ["0 yards", "1 yard", "2 yards"]
    assert counted(2, "colony", "colonies") == "2 colonies"
