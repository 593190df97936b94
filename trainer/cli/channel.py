"""A connection of the server that leaves the sending to the thread which serves it."""

from __future__ import annotations

from waitress.channel import HTTPChannel  # type: ignore[import-untyped]
from waitress.server import BaseWSGIServer  # type: ignore[import-untyped]


class Channel(HTTPChannel):  # type: ignore[misc]
    """Asks for room to write only when nobody serves it, or when its thread waits for room itself.

    The thread that serves a request sends what it wrote, and wakes the loop when it is done. Meanwhile the loop would
    find the socket ready again and again, could do nothing, and would take the interpreter from the very threads that
    it waits for: with sixty browsers this made a server twenty times slower.
    """

    def writable(self) -> bool:
        """Whether the loop should wake when the socket takes data."""
        ends = self.will_close or self.close_when_flushed
        served = bool(self.requests) and self.total_outbufs_len < self.adj.outbuf_high_watermark
        return False if served and not ends else bool(super().writable())


def with_channels(server: BaseWSGIServer) -> BaseWSGIServer:
    """The server, with these connections; one that listens at several addresses holds a server for each."""
    for one in (server, *getattr(server, "map", {}).values()):
        if isinstance(one, BaseWSGIServer):
            one.channel_class = Channel
    return server
