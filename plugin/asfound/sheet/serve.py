"""The form, listening: on this machine alone unless an address is named."""

from __future__ import annotations

import ipaddress
import socket
from typing import Any

from msgspec import Struct

HOST = "127.0.0.1"
PORT = 8377
"""The same from one run to the next, so that a page which waits for a form that was restarted finds it again."""
PHOTO_BYTES = 25 * 1_048_576


class NoAddress(Exception):
    """The form cannot listen there; the message says why and what to do, in plain words."""


class Listening(Struct, frozen=True):
    """A socket that is bound, and the addresses under which a browser may ask for it.

    url        how to reach it, without a path
    addresses  what a Host header may hold
    here       whether nobody but this machine can reach it
    """

    socket: socket.socket
    url: str
    addresses: tuple[str, ...]
    here: bool

    def serve(self, app: Any) -> Any:
        """The server, ready; `run()` answers until `close()`."""
        from waitress import create_server

        return create_server(
            app,
            sockets=[self.socket],
            threads=6,
            ident=None,
            max_request_body_size=PHOTO_BYTES + 65_536,
            max_request_header_size=32_768,
            channel_timeout=60,
            clear_untrusted_proxy_headers=True,
        )


def listen(host: str = HOST, port: int = PORT) -> Listening:
    """Bind. `port` 0 takes a free one. Raises NoAddress.

    An address that means every one of the machine is refused: which ones can reach a person's bench is to be said.
    """
    family, place = _resolved(host)
    address = ipaddress.ip_address(place)
    if address.is_unspecified:
        raise NoAddress(
            f"{host} would listen on every address of this machine; name the one that the tablet is to use, "
            "as in --host 192.168.1.20"
        )
    made = socket.socket(family, socket.SOCK_STREAM)
    try:
        made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind((place, port))
        made.listen(64)
    except OSError as error:
        made.close()
        why = (error.strerror or "the system refused").lower()
        raise NoAddress(
            f"cannot listen on {host}, port {port} ({why}); end the form that runs there, or name another with --port"
        ) from None
    port = made.getsockname()[1]
    names = dict.fromkeys((host, place, *(("localhost",) if address.is_loopback else ())))
    addresses = tuple(_with_port(name, port) for name in names)
    # A browser leaves out the port that is usual.
    bare = tuple(_with_port(name, None) for name in names) if port == 80 else ()
    return Listening(made, f"http://{addresses[0]}", (*addresses, *bare), address.is_loopback)


def _resolved(host: str) -> tuple[socket.AddressFamily, str]:
    try:
        found = socket.getaddrinfo(host, None, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError):
        raise NoAddress(f"no address of this machine is called {host}") from None
    family, _, _, _, place = found[0]
    return family, str(place[0]).partition("%")[0]


def _with_port(name: str, port: int | None) -> str:
    said = f"[{name}]" if ":" in name else name
    return said if port is None else f"{said}:{port}"
