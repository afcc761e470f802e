"""The group's server over HTTP: a SyncServer like the server's own exchange. Knows no records and no store."""

import gzip
import ssl
from collections.abc import Mapping, Sequence
from importlib.metadata import PackageNotFoundError, version
from types import TracebackType

import httpx

from mobile.sync.address import checked_address, is_loopback
from mobile.sync.pinned import pinned_context
from mobile.sync.replies import message, unanswered
from shared_models.protocol import API, ConnectReply, ConnectRequest, Hello, PullReply, PushReply

COMPRESS_FROM = 1024  # bytes; below it the saving is not worth the work
_PATIENCE = httpx.Timeout(connect=10, read=60, write=60, pool=5)  # seconds without any progress
_JSON = {"Content-Type": "application/json"}


class RemoteServer:
    """One connection to a server, for one device. Redirections are not followed: the token stays with its server.

    With a pin, the server is known by its key alone (`pinned_context`); without, its certificate is checked as usual.
    """

    def __init__(
        self, base_url: str, token: str = "", http: httpx.Client | None = None, pin: str = ""
    ) -> None:
        self.address = checked_address(base_url)
        self._http = http or new_client(self.address, pin)
        self._bearer = {"Authorization": f"Bearer {token}"} if token else {}

    def __enter__(self) -> "RemoteServer":
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Hang up."""
        self._http.close()

    def hello(self) -> Hello:
        """Ask who answers there; needs no token."""
        return message(Hello, self._ask("GET", "/hello"))

    def connect(self, request: ConnectRequest) -> ConnectReply:
        """Trade a one-time code for this device's token."""
        return message(ConnectReply, self._send("/connect", request.model_dump_json().encode()))

    def push(self, bodies: Sequence[str], epoch: str) -> PushReply:
        """Send entries verbatim, oldest first."""
        whole = f'{{"entries":[{",".join(bodies)}]}}'.encode()
        return message(PushReply, self._send("/entries", whole, {"epoch": epoch}))

    def pull(self, since: int, limit: int, epoch: str) -> PullReply:
        """Fetch the group's entries after a number."""
        asked: dict[str, str | int] = {"since": since, "limit": limit, "epoch": epoch}
        return message(PullReply, self._ask("GET", "/entries", params=asked))

    def _send(self, path: str, body: bytes, params: Mapping[str, str | int] | None = None) -> httpx.Response:
        if len(body) < COMPRESS_FROM:
            return self._ask("POST", path, content=body, headers=_JSON, params=params)
        packed = gzip.compress(body, compresslevel=6, mtime=0)
        headers = {**_JSON, "Content-Encoding": "gzip"}
        return self._ask("POST", path, content=packed, headers=headers, params=params)

    def _ask(
        self,
        method: str,
        path: str,
        *,
        content: bytes | None = None,
        headers: dict[str, str] | None = None,
        params: Mapping[str, str | int] | None = None,
    ) -> httpx.Response:
        try:
            return self._http.request(
                method,
                f"{self.address}{API}{path}",
                content=content,
                params=params,
                headers={**self._bearer, **(headers or {})},
            )
        except (httpx.HTTPError, httpx.InvalidURL) as error:
            raise unanswered(error) from error


def new_client(address: str, pin: str = "") -> httpx.Client:
    """A client with patience for slow links; a proxy of the environment is not asked about this very device."""
    return httpx.Client(
        verify=pinned_context(pin) if pin else _ordinary_context(),
        timeout=_PATIENCE,
        follow_redirects=False,
        trust_env=not is_loopback(address),
        headers={"User-Agent": f"pomeward-phone/{_own_version()}", "Accept": "application/json"},
    )


def _ordinary_context() -> ssl.SSLContext:
    """A certificate of the server's name, from an authority that this device trusts; TLS 1.2 at least."""
    context = httpx.create_ssl_context()
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    return context


def _own_version() -> str:
    try:
        return version("pomeward")
    except PackageNotFoundError:  # an app package carries no metadata
        return "0"
