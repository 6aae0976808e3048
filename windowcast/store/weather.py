"""The weather that the book keeps: the past of each yard in blocks, and its last outlook."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np
from sqlalchemy import Connection, select, update

from windowcast.science.distance import MOVED_KM, distance_km
from windowcast.store.blocks import BLOCK_H, laid, merged, told_before
from windowcast.store.entries import put
from windowcast.store.instants import text_of
from windowcast.store.packing import packed, unpacked
from windowcast.store.rows import from_kept, readable, to_kept
from windowcast.store.tables import kept_hours, kept_outlooks
from windowcast.terms.kept import KeptOutlook
from windowcast.terms.outlook import FORECAST, Outlook
from windowcast.terms.yard import Place
from windowcast.times import Hours, as_hour

NOWHERE = Place()

# Hours cut into blocks, by block, for one yard after another.
Cut = Sequence[tuple[str, Mapping[int, Outlook]]]


def cut(outlooks: Iterable[Outlook], now: datetime) -> Cut:
    """The told hours before that of ``now`` in blocks; done before the writer's place is taken."""
    return [(item.yard_key, told_before(_news(item), as_hour(now))) for item in outlooks]


def _news(outlook: Outlook) -> Outlook:
    """The outlook without the hours of the past that came from the book itself."""
    new = np.array([*(o.kind == FORECAST or not o.kept for o in outlook.origins), False])
    number = outlook.origin_of_hour
    return replace(outlook, origin_of_hour=np.where(new[number], number, -1).astype(np.int8))


def keep_hours(connection: Connection, where: str, pieces: Cut, now: datetime) -> None:
    """Merge the blocks into those that are kept, each hour from its best telling."""
    for yard_key, blocks in pieces:
        for block, new in blocks.items():
            _keep_block(connection, where, (yard_key, block), new, now)


def set_aside_if_moved(connection: Connection, kept: Iterable[KeptOutlook], now: datetime) -> None:
    """Put the past of a yard that stands at another place now under a name of its own.

    It is the weather of the old place: nothing of it may come into that of the new one.
    """
    for item in kept:
        key = item.outlook.yard_key
        if _has_moved(connection, item):
            aside = f"{key} until {text_of(now)}"
            mine = kept_hours.c.yard_key == key
            connection.execute(update(kept_hours).where(mine).values(yard_key=aside))


def _has_moved(connection: Connection, item: KeptOutlook) -> bool:
    query = select(kept_outlooks.c.place).where(kept_outlooks.c.yard_key == item.outlook.yard_key)
    before = connection.execute(query).scalar() or {}
    here = (item.place.lat_deg, item.place.lon_deg)
    there = (before.get("lat_deg"), before.get("lon_deg"))
    told = [number for number in (*there, *here) if number is not None]
    return len(told) == 4 and distance_km(*told) > MOVED_KM


def hours_of(connection: Connection, where: str, yard_key: str, hours: Hours) -> Outlook | None:
    """The kept weather of a yard on these hours, None where none of them is kept."""
    if not hours.size:
        return None
    numbers = hours.astype(np.int64) // BLOCK_H
    wanted = kept_hours.c.block.between(int(numbers[0]), int(numbers[-1]))
    query = select(kept_hours).where(kept_hours.c.yard_key == yard_key, wanted)
    rows = connection.execute(query.order_by(kept_hours.c.block)).mappings().all()
    with readable(where, f"the weather kept of {yard_key}"):
        whole = laid(yard_key, hours, [unpacked(row["packed"]) for row in rows])
    return whole if whole.origins else None


def outlooks_kept(
    outlooks: Iterable[Outlook], places: Mapping[str, Place], now: datetime
) -> tuple[KeptOutlook, ...]:
    """Outlooks that tell something, as they are kept."""
    return tuple(
        KeptOutlook(
            outlook=outlook,
            place=places.get(outlook.yard_key, NOWHERE),
            issued_at=_issued_at(outlook, now),
            kept_at=now,
        )
        for outlook in outlooks
        if (outlook.origin_of_hour >= 0).any()
    )


def keep_outlooks(connection: Connection, kept: Iterable[KeptOutlook], now: datetime) -> None:
    """Keep the outlook of each yard unless a younger one of the same place is kept."""
    for item in kept:
        key = {"yard_key": item.outlook.yard_key}
        query = select(kept_outlooks.c.issued_at).where(
            kept_outlooks.c.yard_key == item.outlook.yard_key
        )
        before = connection.execute(query).scalar()
        younger = before is not None and before > text_of(item.issued_at)
        if not younger or _has_moved(connection, item):
            put(connection, kept_outlooks, key, from_kept(item), now)


def outlook_of(
    connection: Connection, where: str, yard_key: str, issued_from: datetime
) -> KeptOutlook | None:
    """The kept outlook of a yard if it was issued at that time or later."""
    query = select(kept_outlooks).where(
        kept_outlooks.c.yard_key == yard_key, kept_outlooks.c.issued_at >= text_of(issued_from)
    )
    row = connection.execute(query).mappings().first()
    if row is None:
        return None
    with readable(where, f"the outlook kept of {yard_key}"):
        return to_kept(row)


def _keep_block(
    connection: Connection, where: str, key: tuple[str, int], new: Outlook, now: datetime
) -> None:
    yard_key, block = key
    same = (kept_hours.c.yard_key == yard_key, kept_hours.c.block == block)
    before = connection.execute(select(kept_hours.c.packed).where(*same)).scalar()
    content = packed(new)
    if before is not None:
        with readable(where, f"the weather kept of {yard_key}"):
            content = packed(merged(unpacked(before), new))
    if content != before:
        row = {"packed": content, "changed_at": text_of(now)}
        put(connection, kept_hours, {"yard_key": yard_key, "block": block}, row, now)


def _issued_at(outlook: Outlook, now: datetime) -> datetime:
    """When the forecast of the first hour ahead was issued; ``now`` where nobody says.

    Not the oldest of all origins: the far end may come from an older source.
    """
    ahead = (outlook.hours >= as_hour(now)) & (outlook.origin_of_hour >= 0)
    tellers = [outlook.origins[number] for number in outlook.origin_of_hour[ahead]]
    issued = (o.issued_at for o in tellers if o.kind == FORECAST and o.issued_at)
    return next(issued, now)
