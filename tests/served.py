"""The server of the browser tests, which knows whom it still serves."""

import threading

from django.core.servers.basehttp import ThreadedWSGIServer


class ConnectionsOpenError(RuntimeError):
    """A browser test ended, but something still speaks with the server."""


class CountedServer(ThreadedWSGIServer):
    """Counts its connections from when they are taken up to when the thread that serves them has ended."""

    def __init__(self, *args, **kwargs) -> None:
        super().__init__(*args, **kwargs)
        self._open = 0
        self._changed = threading.Condition()

    def process_request(self, request, client_address) -> None:
        self._count(1)
        super().process_request(request, client_address)

    def process_request_thread(self, request, client_address) -> None:
        try:
            super().process_request_thread(request, client_address)
        finally:
            self._count(-1)

    def _count(self, by: int) -> None:
        with self._changed:
            self._open += by
            self._changed.notify_all()

    def wait_until_idle(self, seconds: float) -> None:
        """Return once no connection is open.

        Raises:
            ConnectionsOpenError: one still is after ``seconds``, such as that of a page which the test did not close.
        """
        with self._changed:
            if not self._changed.wait_for(lambda: not self._open, seconds):
                raise ConnectionsOpenError(f"{self._open} connections to the server are open after the test")
