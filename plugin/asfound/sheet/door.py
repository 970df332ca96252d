"""Who may come in: the address asked for, where a request comes from, a token that opens once, and a cookie after it.

What stands against what. A page of another site that sends requests here: the Origin header, and a cookie that is not
sent across sites (RFC 6454; Fetch Metadata, W3C). A name that was made to lead here (DNS rebinding): the Host header.
Another person at the same machine, or in the same network: the token, which is never sent again once it was used.
Against somebody who reads along in the network there is nothing: it is plain HTTP, and the command says so.
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
import threading
from collections.abc import Iterable, Mapping

COOKIE = "asfound-sheet"
_MOST = 64
"""Sessions that are kept; each is one browser that came in by a token."""


class Door:
    """One door for one running form. Nothing of it is ever written to a disk.

    addresses  hosts with their ports under which the form may be asked for, as the Host header has them
    """

    def __init__(self, addresses: Iterable[str]) -> None:
        self.addresses = frozenset(one.casefold() for one in addresses)
        self._lock = threading.Lock()
        self._tokens: set[bytes] = set()
        self._sessions: dict[bytes, None] = {}

    def token(self) -> str:
        """A new token, good for one browser, once; one that was printed before and not used is dead by then."""
        made = secrets.token_urlsafe(24)
        with self._lock:
            self._tokens = {_digest(made)}
        return made

    def enter(self, token: str) -> str | None:
        """Exchange a token for what the cookie is to hold; None for one that is not known, or was used."""
        digest = _digest(token)
        with self._lock:
            known = next((one for one in self._tokens if hmac.compare_digest(one, digest)), None)
            if known is None:
                return None
            self._tokens.remove(known)
            made = secrets.token_urlsafe(32)
            while len(self._sessions) >= _MOST:
                self._sessions.pop(next(iter(self._sessions)))
            self._sessions[_digest(made)] = None
            return made

    def known(self, cookie: str | None) -> bool:
        """Whether a cookie is one that was given out by this running form."""
        digest = _digest(cookie or "")
        with self._lock:
            # All of them are compared, so that the time taken tells nothing of which.
            return sum(hmac.compare_digest(one, digest) for one in self._sessions) > 0

    def refusal(self, method: str, headers: Mapping[str, str]) -> str:
        """Why a request is not let near, whoever sends it; empty where it is. Names of `headers` are small."""
        if headers.get("host", "").casefold() not in self.addresses:
            return "This form does not answer under that address."
        origin = headers.get("origin")
        if origin and not self._own(origin):
            return "This form takes nothing from another site."
        if method not in ("GET", "HEAD") and not origin:
            return "A request that writes has to say where it comes from."
        site = headers.get("sec-fetch-site")
        if site and method not in ("GET", "HEAD") and site != "same-origin":
            return "This form takes nothing from another site."
        if site == "cross-site" and headers.get("sec-fetch-mode", "navigate") != "navigate":
            return "This form gives nothing to another site."
        return ""

    def _own(self, origin: str) -> bool:
        scheme, _, rest = origin.partition("://")
        return scheme == "http" and rest.casefold() in self.addresses


def _digest(text: str) -> bytes:
    # Compared by digest, so that lengths tell nothing, and a copy of the memory holds no key that opens.
    return hashlib.sha256(text.encode("utf-8", "replace")).digest()
