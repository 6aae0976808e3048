"""Notices that were told: once is enough, and the hash says whether there is something new."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from datetime import datetime

from sqlalchemy import Connection, select

from windowcast.store.entries import put
from windowcast.store.instants import text_of
from windowcast.store.rows import readable, to_told
from windowcast.store.tables import told
from windowcast.terms.kept import Told


def hash_of(text: str) -> str:
    """SHA-256 of a notice's text: whether it says something new."""
    return hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


def mark_told(connection: Connection, texts: Mapping[str, str], now: datetime) -> None:
    """Notices were told, by identity: when first and last, and the hash of the last text."""
    for identity, text in texts.items():
        before = connection.execute(select(told).where(told.c.identity == identity)).first()
        row = {
            "first_told": text_of(now) if before is None else before.first_told,
            "last_told": text_of(now),
            "text_hash": hash_of(text),
        }
        put(connection, told, {"identity": identity}, row, now)


def told_of(connection: Connection, where: str, identity: str) -> Told | None:
    """When a notice of that identity was told and with which text, None "never"."""
    query = select(told).where(told.c.identity == identity)
    row = connection.execute(query).mappings().first()
    if row is None:
        return None
    with readable(where, f"the notice {identity}"):
        return to_told(row)
