"""The command `serve`: where it listens, and with which encryption."""

import ipaddress
import ssl
from pathlib import Path
from socket import AF_INET, AF_INET6, IPPROTO_TCP, SO_REUSEADDR, SOCK_STREAM, SOL_SOCKET
from socket import socket as Socket
from typing import Annotated

import typer
import uvicorn

from server.app import create_app
from server.cli.surroundings import settings_here
from server.services.own_certificate import own_certificate, renew
from server.services.reach import names_of, note_reach, reach_of
from server.settings import PREFIX, Settings
from shared_models.errors import BadInputError, NotAllowedError
from shared_models.language import say

_CIPHERS = "ECDHE+AESGCM:ECDHE+CHACHA20"  # of TLS 1.2: forward secrecy, nothing old; TLS 1.3 has its own


def serve(
    host: Annotated[
        str | None, typer.Option(help="Where to listen; without encryption only this machine itself.")
    ] = None,
    port: Annotated[int | None, typer.Option(help="The port; 0 takes a free one.")] = None,
    own_certificate: Annotated[
        bool,
        typer.Option("--own-certificate", help="Encrypt with a key of its own, made at the first start."),
    ] = False,
) -> None:
    """Run the server until it is stopped."""
    told = settings_here()
    given = {"host": host, "port": port, "own_certificate": own_certificate or None}
    chosen = {name: value for name, value in given.items() if value is not None}
    settings = Settings.model_validate(told.model_dump() | chosen)
    if not settings.encrypted:
        refuse_open_network(settings.host)
    context = _encryption(settings)
    with _listening(settings) as socket:
        app = create_app(settings)
        _tell(settings, socket.getsockname()[1])
        # No access log: addresses of pages can hold one-time codes.
        config = uvicorn.Config(
            app,
            access_log=False,
            log_level="warning",
            proxy_headers=settings.behind_proxy,
            forwarded_allow_ips=["127.0.0.1", "::1"],
        )
        config.load()
        config.ssl = context
        uvicorn.Server(config).run(sockets=[socket])


def certificate(
    anew: Annotated[
        bool, typer.Option("--renew", help="Make the certificate anew, for the names and dates of today.")
    ] = False,
) -> None:
    """Show the server's own certificate, made if need be; phones know it by its key, which never changes."""
    settings = settings_here()
    make = renew if anew else own_certificate
    found = make(settings.data, names_of(settings))
    print(
        say(
            "The certificate is in {file}; phones know its key as {pin}.",
            file=found.certificate,
            pin=found.pin,
        )
    )


def refuse_open_network(host: str) -> None:
    """NotAllowedError for any address but this machine's own: without encryption nothing may travel further."""
    if host == "localhost":
        return
    try:
        here = ipaddress.ip_address(host).is_loopback
    except ValueError:
        here = False
    if not here:
        raise NotAllowedError(
            say(
                "Without encryption the server listens on this machine only, not on {host}. Use 127.0.0.1, or let it "
                "encrypt: --own-certificate, or {certificate} and {key} with the files of a certificate.",
                host=host,
                certificate=f"{PREFIX}CERTIFICATE",
                key=f"{PREFIX}CERTIFICATE_KEY",
            )
        )


def _encryption(settings: Settings) -> ssl.SSLContext | None:
    if not settings.encrypted:
        return None
    certificate, key = _files(settings)
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.minimum_version = ssl.TLSVersion.TLSv1_2
    context.set_ciphers(_CIPHERS)
    try:
        context.load_cert_chain(certificate, key, password=_no_password)
    except (OSError, ValueError) as error:
        raise BadInputError(
            say(
                "The certificate in {certificate} and the key in {key} cannot be used together; the server was not "
                "started. Look whether both files can be read and belong to each other.",
                certificate=certificate,
                key=key,
            )
        ) from error
    return context


def _files(settings: Settings) -> tuple[Path, Path]:
    """Certificate and key; BadInputError where it is not plain which."""
    if settings.own_certificate and settings.certificate is None:
        made = own_certificate(settings.data, names_of(settings))
        return made.certificate, made.key
    if settings.certificate is None or settings.certificate_key is None or settings.own_certificate:
        raise BadInputError(
            say(
                "Give either two files, {certificate} and {key}, or let the server have a certificate of its own; "
                "the server was not started.",
                certificate=f"{PREFIX}CERTIFICATE",
                key=f"{PREFIX}CERTIFICATE_KEY",
            ),
            "certificate",
        )
    return settings.certificate, settings.certificate_key


def _no_password() -> str:
    """A key with a password is refused; OpenSSL would otherwise ask for it on the terminal."""
    return ""


def _tell(settings: Settings, port: int) -> None:
    reach = reach_of(settings, port)
    note_reach(settings, reach)
    print(
        say(
            "Pomeward listens on {address}; its data are in {data}.",
            address=f"http://{settings.host}:{port}" if settings.behind_proxy else reach.address,
            data=settings.data.resolve(),
        ),
        flush=True,
    )
    if settings.behind_proxy:
        print(say("Others reach it at {address}.", address=reach.address), flush=True)


def _listening(settings: Settings) -> Socket:
    """The socket, bound before anything else is opened, so that a taken port is said in a sentence."""
    family = AF_INET6 if ":" in settings.host else AF_INET
    # Named as TCP, or asyncio does not turn Nagle's waiting off, and every larger answer takes 40 ms more.
    listener = Socket(family, SOCK_STREAM, IPPROTO_TCP)
    listener.setsockopt(SOL_SOCKET, SO_REUSEADDR, 1)
    try:
        listener.bind((settings.host, settings.port))
    except OSError as error:
        listener.close()
        raise NotAllowedError(
            say("Port {port} cannot be used here; give another with --port.", port=settings.port)
        ) from error
    listener.listen()  # from here on whoever calls is kept waiting, not turned away
    return listener
