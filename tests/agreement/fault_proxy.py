"""A line between a phone and a server that has faults, as a weak network has them or a box that stands on the way.

A TCP proxy on loopback. It knows HTTP only as far as it must: where a message ends. What a fault does to a request is
told by whoever plans it; what passes, passes byte for byte.
"""

from __future__ import annotations

import random
import socket
import struct
import threading
import time
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from enum import StrEnum

PATIENCE = 60.0  # seconds that the proxy waits for the server
_END_OF_HEAD = b"\r\n\r\n"
_RESET = struct.pack("ii", 1, 0)  # SO_LINGER: hang up at once, which the other side sees as a reset
_PAGE = b"<html><body>Please sign in to this network</body></html>"
_SIGN_IN = b"HTTP/1.1 200 OK\r\nContent-Type: text/html\r\nContent-Length: %d\r\n\r\n%b" % (len(_PAGE), _PAGE)
_BAD_GATEWAY = b"HTTP/1.1 502 Bad Gateway\r\nContent-Type: text/html\r\nContent-Length: 0\r\n\r\n"


class Trouble(StrEnum):
    """What becomes of one request and its answer."""

    NONE = "passes"
    REQUEST_CUT = "cut inside the request"
    ANSWER_CUT = "cut inside the answer"
    SLOW = "the answer comes late"
    DRIPS = "the answer comes in drops"
    BAD_GATEWAY = "502"
    SILENCE = "nobody ever answers"
    HALF_PACKED = "the body is half of itself, and its length says so"
    SIGN_IN = "a page to sign in, with status 200"
    TWICE = "arrives twice"
    STALE = "an earlier answer comes back"
    LATE = "arrives after the phone gave up"


@dataclass(frozen=True, slots=True)
class Fault:
    """A trouble; `at` is the byte to cut at (beyond the end: counted anew), `reached` whether the server was asked."""

    trouble: Trouble = Trouble.NONE
    at: int = 0
    reached: bool = False


Plan = Callable[[bytes], Fault]  # from a request to what becomes of it
BAD = tuple(trouble for trouble in Trouble if trouble is not Trouble.NONE)


def all_is_well(_: bytes) -> Fault:
    """The plan of a line without faults."""
    return Fault()


def at_random(chance: random.Random, trouble: float) -> Plan:
    """A plan that draws; `trouble` is how likely each request meets one."""

    def plan(_: bytes) -> Fault:
        if chance.random() >= trouble:
            return Fault()
        return Fault(chance.choice(BAD), chance.randrange(10**6), chance.random() < 0.5)

    return plan


@dataclass(slots=True)
class Box:
    """What stands on the way and remembers: requests still under way, answers by what was asked, troubles met."""

    late: list[bytes] = field(default_factory=list)
    met: Counter[Trouble] = field(default_factory=Counter)
    answers: dict[bytes, list[bytes]] = field(default_factory=dict)


class FaultProxy:
    """Listens on a free port until the block ends; `plan` may be changed at any time."""

    def __init__(self, server_port: int, plan: Plan = all_is_well, box: Box | None = None) -> None:
        self.plan, self.box = plan, box or Box()
        self._server_port = server_port
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.url = f"http://127.0.0.1:{self._listener.getsockname()[1]}"
        self._open: set[socket.socket] = set()
        self._threads: list[threading.Thread] = []
        self._start(self._listen)

    def __enter__(self) -> FaultProxy:
        return self

    def __exit__(self, *_: object) -> None:
        for one in (self._listener, *self._open):
            with suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)
        self._listener.close()
        for thread in self._threads:
            thread.join()

    def deliver(self, which: int) -> None:
        """Let a request arrive whose sender gave up; its answer goes nowhere."""
        if self.box.late:
            self._ask(self.box.late.pop(which % len(self.box.late)))

    # ------------------------------------------------------------ connections
    def _start(self, work: Callable[[], None]) -> None:
        thread = threading.Thread(target=work, daemon=True)
        self._threads.append(thread)
        thread.start()

    def _listen(self) -> None:
        while True:
            try:
                phone, _ = self._listener.accept()
            except OSError:  # the end
                return
            phone.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
            self._threads = [thread for thread in self._threads if thread.is_alive()]
            self._open.add(phone)
            self._start(lambda phone=phone: self._talk(phone))  # type: ignore[misc]

    def _talk(self, phone: socket.socket) -> None:
        with phone, suppress(OSError):
            while (request := read_message(phone)) and self._carry(phone, request):
                pass
        self._open.discard(phone)

    def _ask(self, request: bytes) -> bytes:
        """The server's whole answer; nothing where it gave none."""
        with socket.create_connection(("127.0.0.1", self._server_port), PATIENCE) as server:
            server.sendall(request)
            answer = read_message(server)
        if answer:
            self.box.answers.setdefault(_asked(request), []).append(answer)
        return answer

    # ------------------------------------------------------------ faults
    def _carry(self, phone: socket.socket, request: bytes) -> bool:
        """Let one request have its fate; whether the connection goes on."""
        fault = self.plan(request)
        self.box.met[fault.trouble] += 1
        match fault.trouble:
            case Trouble.REQUEST_CUT:
                self._begin_to_ask(request[: fault.at % (len(request) + 1)], fault.at)
                return _hang_up(phone, fault.at)
            case Trouble.LATE:
                self.box.late.append(request)
                return _hang_up(phone, fault.at)
            case Trouble.BAD_GATEWAY | Trouble.SIGN_IN | Trouble.SILENCE:
                if fault.reached:
                    self._ask(request)
                return _answer_instead(phone, fault.trouble)
        answer = self._answer(request, fault)
        match fault.trouble:
            case Trouble.ANSWER_CUT:
                phone.sendall(answer[: fault.at % max(len(answer), 1)])
                return _hang_up(phone, fault.at)
            case Trouble.DRIPS:
                _drip(phone, answer)
            case _:
                phone.sendall(answer)
        return bool(answer)

    def _answer(self, request: bytes, fault: Fault) -> bytes:
        """What comes back on this line, before it is cut."""
        earlier = self.box.answers.get(_asked(request))
        if fault.trouble is Trouble.STALE and earlier:
            return earlier[fault.at % len(earlier)]
        if fault.trouble is Trouble.TWICE:
            self._ask(request)
        answer = self._ask(request)
        if fault.trouble is Trouble.SLOW:
            time.sleep(fault.at % 600 / 1000)
        return _halved(answer, fault.at) if fault.trouble is Trouble.HALF_PACKED else answer

    def _begin_to_ask(self, beginning: bytes, at: int) -> None:
        """Send a part of a request, and hang up."""
        server = socket.create_connection(("127.0.0.1", self._server_port), PATIENCE)
        server.sendall(beginning)
        _hang_up(server, at)


def read_message(sender: socket.socket) -> bytes:
    """One whole message of HTTP; nothing where the sender hung up before its end."""
    message, length = b"", None
    while length is None or len(message) < length:
        part = sender.recv(65536)
        if not part:
            return b""
        message += part
        if length is None and _END_OF_HEAD in message:
            length = message.index(_END_OF_HEAD) + len(_END_OF_HEAD) + _length_of_body(message)
    return message


def _length_of_body(message: bytes) -> int:
    for line in message.split(_END_OF_HEAD, 1)[0].split(b"\r\n"):
        name, _, value = line.partition(b":")
        if name.lower() == b"content-length":
            return int(value)
    return 0


def _asked(request: bytes) -> bytes:
    """Method and path, without what follows the question mark."""
    return request.split(b"\r\n", 1)[0].split(b"?")[0].removesuffix(b" HTTP/1.1")


def _hang_up(peer: socket.socket, at: int) -> bool:
    """End a connection, in turn as one that ends and as one that breaks; whether it goes on, which it does not."""
    if at % 2:
        peer.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, _RESET)
    peer.close()
    return False


def _answer_instead(phone: socket.socket, trouble: Trouble) -> bool:
    if trouble is Trouble.SILENCE:
        phone.recv(1)  # until the phone has had enough
        return False
    phone.sendall(_SIGN_IN if trouble is Trouble.SIGN_IN else _BAD_GATEWAY)
    return True


def _drip(phone: socket.socket, answer: bytes) -> None:
    step = max(len(answer) // 8, 1)
    for start in range(0, len(answer), step):
        phone.sendall(answer[start : start + step])
        time.sleep(0.01)


def _halved(answer: bytes, at: int) -> bytes:
    """The answer with a part of its body, as whole as any other for whoever only counts bytes."""
    head, _, body = answer.partition(_END_OF_HEAD)
    part = body[: at % max(len(body), 1)]
    lines = [line for line in head.split(b"\r\n") if not line.lower().startswith(b"content-length:")]
    return b"\r\n".join([*lines, b"Content-Length: %d" % len(part)]) + _END_OF_HEAD + part
