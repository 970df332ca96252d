"""Put on the path of every program that these tests start: it can reach this machine and nothing else."""

from __future__ import annotations

import ipaddress
import socket
from typing import Any

_connect, _look_up = socket.socket.connect, socket.getaddrinfo


def _here(host: object) -> bool:
    if not isinstance(host, str) or host in ("", "localhost"):
        return True
    try:
        return ipaddress.ip_address(host).is_loopback or ipaddress.ip_address(host).is_unspecified
    except ValueError:
        return False


def _guarded(self: socket.socket, address: Any) -> None:
    if self.family in (socket.AF_INET, socket.AF_INET6) and not _here(address[0]):
        raise RuntimeError(f"a build asked for {address!r}; a build reaches nothing but this machine")
    _connect(self, address)


def _guarded_look_up(host: Any, *args: Any, **more: Any) -> Any:
    if not _here(host):
        raise RuntimeError(f"a build asked for {host!r}; a build reaches nothing but this machine")
    return _look_up(host, *args, **more)


socket.socket.connect = _guarded  # type: ignore[method-assign, assignment]
socket.getaddrinfo = _guarded_look_up
