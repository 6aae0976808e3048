"""A server that takes every connection and never says a word."""

from __future__ import annotations

import socket
import threading
from types import TracebackType


class Silent:
    """Listens on loopback. ``taken`` are the connections that it holds open."""

    def __init__(self) -> None:
        self._socket = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._socket.getsockname()[1])
        self.taken: list[socket.socket] = []
        self._thread = threading.Thread(target=self._take)

    def __enter__(self) -> Silent:
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, e: BaseException | None, t: TracebackType | None
    ) -> None:
        """Hang up on everybody, so that nobody waits on."""
        self._socket.shutdown(socket.SHUT_RDWR)
        self._socket.close()
        self._thread.join(10)
        for connection in self.taken:
            connection.close()

    def _take(self) -> None:
        while True:
            try:
                connection, _ = self._socket.accept()
            except OSError:  # it was closed
                return
            self.taken.append(connection)
