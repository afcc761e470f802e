"""Somebody else who listens at a server's address with a certificate of their own, and notes what they are sent."""

import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress


class Stranger:
    """Shakes hands with whoever comes, then reads. `heard` is all that came after the handshakes."""

    def __init__(self, context: ssl.SSLContext, port: int = 0) -> None:
        self._context = context
        self._socket = socket.create_server(("127.0.0.1", port))
        self._socket.settimeout(0.05)
        self._thread = threading.Thread(target=self._listen)
        self._ended = threading.Event()
        self.port: int = self._socket.getsockname()[1]
        self.address = f"https://127.0.0.1:{self.port}"
        self.callers = 0
        self.hands_shaken = 0
        self.heard = b""

    def start(self) -> None:
        """Listen."""
        self._thread.start()

    def stop(self) -> None:
        """Stop listening, after everything that was sent has been read."""
        self._ended.set()
        self._thread.join()
        self._socket.close()

    def _listen(self) -> None:
        while not self._ended.is_set():
            with suppress(TimeoutError):
                caller, _ = self._socket.accept()
                self.callers += 1
                self._hear(caller)

    def _hear(self, caller: socket.socket) -> None:
        caller.settimeout(5)
        with caller, suppress(OSError), self._context.wrap_socket(caller, server_side=True) as encrypted:
            self.hands_shaken += 1
            while piece := encrypted.recv(4096):
                self.heard += piece


@contextmanager
def stranger(context: ssl.SSLContext, port: int = 0) -> Iterator[Stranger]:
    """A stranger at a port until the end of the block."""
    listening = Stranger(context, port)
    listening.start()
    try:
        yield listening
    finally:
        listening.stop()
