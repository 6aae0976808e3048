"""What an import does to ``yards.csv``, in words, before it is done."""

from __future__ import annotations

from collections.abc import Iterator

from windowcast.settings.spelling import printable
from windowcast.settings.summary import counted
from windowcast.settings.yard_merge import SAME_M, Change, Merge
from windowcast.settings.yards import FILE

_COUNTS = ("doubles", "singles", "nucs", "nucs_above")


def change_lines(merge: Merge, file: str) -> Iterator[str]:
    """A line for each yard that is added or changed, and one for all that stay as they are."""
    yield f"{printable(file)}: {counted(len(merge.changes), 'yard')} for {FILE}"
    old = [change for change in merge.changes if not change.is_new]
    quiet = [change for change in old if not change.changes]
    for change in merge.changes:
        if change.is_new:
            yield f"  added: {_key(change)}, {_place(change)}{_told(change)}"
    yield from (f"  changed: {_key(c)}, {'; '.join(_parts(c))}" for c in old if c.changes)
    yield from (f"  unchanged: {_key(c)}, {_kept(c)}" for c in quiet if c.kept)
    same = [printable(change.key) for change in quiet if not change.kept]
    if same:
        yield f"  unchanged: {', '.join(same)}"
    if merge.absent:
        yield f"  not in the file, and left as they are: {', '.join(map(printable, merge.absent))}"


def _key(change: Change) -> str:
    name = "no name in the file" if change.is_new and not change.called else change.called
    differs = bool(name) and printable(name) not in (
        change.key,
        "" if change.is_new else change.name,
    )
    return f"{printable(change.key)} ({printable(name)})" if differs else printable(change.key)


def _place(change: Change) -> str:
    return f"{change.row.cells['lat']} {change.row.cells['lon']}"


def _told(change: Change) -> str:
    """What a new row holds beside its place."""
    return "".join(
        f", {name} {printable(cell)}"
        for name, cell in change.row.cells.items()
        if name not in ("key", "name", "lat", "lon")
    )


def _parts(change: Change) -> Iterator[str]:
    if (change.moved_m or 0.0) >= SAME_M:
        yield f"moved by {_distance(change.moved_m or 0.0)} to {_place(change)}"
    if change.filled:
        filled = ", ".join(f"{name} {printable(cell)}" for name, cell in change.filled)
        yield f"filled in: {filled}"
    stays = [name for name in (*_COUNTS, "notes") if change.row.cells.get(name, "0") != "0"]
    left = [name for name in stays if name not in dict(change.filled)]
    if change.kept:
        yield _kept(change)
    elif left:
        yield f"kept: {', '.join(left)}"


def _kept(change: Change) -> str:
    kept = ", ".join(
        f"{name} {printable(stays)} (the file says {printable(told)})"
        for name, stays, told in change.kept
    )
    return f"kept: {kept}"


def _distance(metres: float) -> str:
    return f"{metres:.0f} m" if metres < 1000 else f"{metres / 1000:.1f} km"
