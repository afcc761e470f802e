"""A real server on a loopback port, and a port that answers like something else."""

import socket
import ssl
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from shared_models.vocabulary import Role

SECONDS_TO_START = 20.0


class Served:
    """A server that listens, with a group to which codes can be had."""

    def __init__(self, folder: Path, port: int = 0, tls: ssl.SSLContext | None = None) -> None:
        import uvicorn

        from server.app import create_app
        from server.settings import Settings

        self.app = create_app(Settings(data=folder))
        self.connecting = self.app.state.services.connecting
        groups = self.connecting.groups()
        self.group = groups[0] if groups else self.connecting.make_group("Hillside (invented)")
        self._socket = socket.create_server(("127.0.0.1", port))
        self.port = self._socket.getsockname()[1]
        self.url = f"{'https' if tls else 'http'}://127.0.0.1:{self.port}"
        config = uvicorn.Config(self.app, log_level="warning")
        config.load()
        config.ssl = tls
        self._server = uvicorn.Server(config)
        self._thread = threading.Thread(target=self._server.run, kwargs={"sockets": [self._socket]})

    def start(self) -> None:
        """Listen."""
        self._thread.start()
        patience = time.monotonic() + SECONDS_TO_START
        while not self._server.started:
            assert self._thread.is_alive() and time.monotonic() < patience, "The server does not start."
            time.sleep(0.01)

    def stop(self) -> None:
        """Stop listening."""
        self._server.should_exit = True
        self._thread.join()
        self._socket.close()

    def code(self, role: Role = Role.KEEPER) -> str:
        """A one-time code."""
        return str(self.connecting.invite(self.group, role))

    def revoke_all(self) -> None:
        """Disconnect every device."""
        for device in self.connecting.devices(self.group):
            self.connecting.revoke(self.group, device.id, "tests")


@contextmanager
def serving(folder: Path, port: int = 0, tls: ssl.SSLContext | None = None) -> Iterator[Served]:
    """A server that listens until the end of the block."""
    served = Served(folder, port, tls)
    served.start()
    try:
        yield served
    finally:
        served.stop()


Answer = Callable[[BaseHTTPRequestHandler], None]


@contextmanager
def answering(answer: Answer) -> Iterator[str]:
    """The address of a port on which every request is answered by `answer`."""

    class Handler(BaseHTTPRequestHandler):
        """Answers everything alike."""

        def do_GET(self) -> None:
            answer(self)

        def do_POST(self) -> None:
            self.sent = self.rfile.read(int(self.headers.get("Content-Length", 0)))
            answer(self)

        def log_message(self, *of: object) -> None:
            """Say nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}"
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def says(status: int, content_type: str, body: bytes, **headers: str) -> Answer:
    """An answer with that status, type and body."""

    def answer(request: BaseHTTPRequestHandler) -> None:
        request.send_response(status)
        for name, value in {
            "Content-Type": content_type,
            "Content-Length": str(len(body)),
            **headers,
        }.items():
            request.send_header(name.replace("_", "-"), value)
        request.end_headers()
        request.wfile.write(body)

    return answer


def hangs_up(request: BaseHTTPRequestHandler) -> None:
    """Close the connection without a word."""
    request.connection.shutdown(socket.SHUT_RDWR)


def breaks_off(request: BaseHTTPRequestHandler) -> None:
    """Half an answer."""
    request.send_response(200)
    request.send_header("Content-Type", "application/json")
    request.send_header("Content-Length", "1000")
    request.end_headers()
    request.wfile.write(b'{"service":"pome')
    request.wfile.flush()
    request.connection.shutdown(socket.SHUT_RDWR)
