"""What a person types after ``seen YARD``, as a word of the terms."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence

from windowcast.science.colony.counts import wash_frac
from windowcast.terms.report import (
    BLOOM_STAGES,
    BROOD_STAGES,
    FOOTINGS,
    BloomSeen,
    BroodSeen,
    MiteBoard,
    MiteWash,
    PollenSeen,
    RainMeasured,
    RoadSeen,
    Seen,
)
from windowcast.units import quantity

Words = Sequence[str]
Given = Mapping[str, int | float | str]

FORMS = {
    "brood": "brood none|eggs|open|capped [--colonies K --of N]",
    "pollen": "pollen yes|no [--plant P]",
    "mites": "mites COUNT --bees N [--colony ID]\nmites COUNT --board-days D [--colony ID]",
    "road": "road firm|soft|rutted|stuck",
    "rain": "rain 0.8in [--days 2]",
    "bloom": "bloom PLANT first|over",
}
OPTIONS = {
    "brood": ("colonies", "of"),
    "pollen": ("plant",),
    "mites": ("bees", "board_days", "colony"),
    "road": (),
    "rain": ("days",),
    "bloom": (),
}


def sight_of(kind: str, words: Words, given: Given) -> Seen:
    """What was seen, from the kind, the words after it and the options that were given."""
    name = kind.strip().casefold()
    if name not in FORMS:
        raise ValueError(f'"{kind}" is nothing that can be seen; use {", ".join(FORMS)}')
    for option in given:
        if option not in OPTIONS[name]:
            raise ValueError(_wrong_option(option, name))
    try:
        return _READERS[name]([word.strip() for word in words], given)
    except ValueError as error:
        raise ValueError(f"{error}; the form is: {_form(name)}") from error


def _wrong_option(option: str, kind: str) -> str:
    typed = option.replace("_", "-")
    homes = [other for other, options in OPTIONS.items() if option in options]
    return f"--{typed} goes with {' or '.join(homes)}, not with {kind}; write: {_form(kind)}"


def _form(kind: str) -> str:
    return " or ".join(FORMS[kind].splitlines())


def _brood(words: Words, given: Given) -> Seen:
    stage = _one_of("brood", words, BROOD_STAGES)
    return BroodSeen(
        stage=stage, colonies=_whole(given, "colonies"), looked_into=_whole(given, "of")
    )


def _pollen(words: Words, given: Given) -> Seen:
    coming = _one_of("pollen", words, ("yes", "no")) == "yes"
    return PollenSeen(coming=coming, plant=plant_name(str(given.get("plant", ""))))


def _mites(words: Words, given: Given) -> Seen:
    count = _only("COUNT", words)
    if not re.fullmatch(r"[0-9]{1,7}", count):
        raise ValueError(f'"{count}" is no count of mites')
    if ("bees" in given) == ("board_days" in given):
        both = "both --bees and --board-days" if "bees" in given else "neither"
        raise ValueError(f"a wash has --bees and a board has --board-days, and {both} is given")
    colony = " ".join(str(given.get("colony", "")).split())
    if "bees" in given:
        wash = MiteWash(mites=int(count), bees=int(given["bees"]), colony=colony)
        wash_frac(wash)
        return wash
    return MiteBoard(mites=int(count), over_d=float(given["board_days"]), colony=colony)


def _road(words: Words, given: Given) -> Seen:
    return RoadSeen(footing=_one_of("road", words, FOOTINGS))


def _rain(words: Words, given: Given) -> Seen:
    if not words:
        raise ValueError("rain wants a depth")
    depth_mm = quantity(" ".join(words), "depth")
    return RainMeasured(rain_mm=depth_mm, over_d=float(given.get("days", 1.0)))


def _bloom(words: Words, given: Given) -> Seen:
    if len(words) < 2:
        raise ValueError("bloom wants a plant, and first or over")
    stage = _one_of("bloom", words[-1:], BLOOM_STAGES)
    return BloomSeen(plant=plant_name(" ".join(words[:-1])), stage=stage)


_READERS: Mapping[str, Callable[[Words, Given], Seen]] = {
    "brood": _brood,
    "pollen": _pollen,
    "mites": _mites,
    "road": _road,
    "rain": _rain,
    "bloom": _bloom,
}


def plant_name(text: str) -> str:
    """The name of a plant as the book keeps it, so that "Red  Maple" and "red maple" are one."""
    return " ".join(text.split()).casefold()


def _only(what: str, words: Words) -> str:
    if len(words) != 1:
        found = f'"{" ".join(words)}"' if words else "nothing"
        raise ValueError(f"{found} stands where one {what} is wanted")
    return words[0]


def _one_of(kind: str, words: Words, known: tuple[str, ...]) -> str:
    word = _only("|".join(known), words).casefold()
    if word not in known:
        raise ValueError(f'{kind} "{word}" is not known')
    return word


def _whole(given: Given, name: str) -> int | None:
    return int(given[name]) if name in given else None
