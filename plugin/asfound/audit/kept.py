"""Whether a page has a policy, whether it is strict, and whether the page keeps to it."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator

from asfound.audit.markup import Element, Markup

_SHUT = ("object-src", "form-action", "base-uri")
_RUNS = {"", "module", "text/javascript", "application/javascript", "text/ecmascript", "application/ecmascript"}
_OWN = {"'self'", "'none'", "file:"}
_LOAD = ("script-src", "script-src-elem", "connect-src", "img-src", "font-src", "style-src", "style-src-elem",
         "worker-src", "frame-src", "media-src", "default-src")  # fmt: skip


def faults(page: Markup) -> Iterator[tuple[Element | None, str, str]]:
    """Each fault: the element it stands on (None for the page), what was found, what was needed."""
    head = [one for one in page.elements if one.tag == "meta"
            and one.at.get("http-equiv", "").lower() == "content-security-policy"]  # fmt: skip
    if not head:
        yield None, "the page has no policy", "a policy in the head of every page was needed"
        return
    said = _read(head[0].at.get("content", ""))
    for one in page.elements:
        if one is head[0]:
            break
        if one.tag in {"script", "style", "link"}:
            yield one, f"a <{one.tag}> stands before the policy", "a policy speaks only of what comes after it"
    for name in _SHUT:
        if said.get(name, said.get("default-src", []) if name == "object-src" else []) != ["'none'"]:
            yield head[0], f"the policy leaves {name} open", f"{name} 'none' was needed"
    if said.get("default-src") not in (["'none'"], ["'self'"]):
        yield head[0], "the policy does not say what holds by default", "default-src 'none' was needed"
    for name in _LOAD:
        for word in said.get(name, ()):
            data = word == "data:" and name in {"img-src", "font-src"}
            if not (word in _OWN or data or word.startswith("'sha") or (word == "'unsafe-inline'" and "style" in name)):
                yield head[0], f"the policy lets {word} through in {name}", "the site itself and digests were needed"
    yield from _broken(page, said)


def _read(text: str) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for part in text.split(";"):
        name, *words = part.split() or [""]
        found.setdefault(name.lower(), words)
    return found


def _broken(page: Markup, said: dict[str, list[str]]) -> Iterator[tuple[Element, str, str]]:
    default = said.get("default-src", [])
    scripts = said.get("script-src-elem", said.get("script-src", default))
    styles = said.get("style-src-elem", said.get("style-src", default))
    inner = said.get("style-src-attr", said.get("style-src", default))
    needed = "its digest in the policy was needed"
    for one in page.elements:
        text = "".join(one.words)
        runs = one.tag == "script" and "src" not in one.at and one.at.get("type", "").strip().lower() in _RUNS
        if runs and digest(text) not in scripts:
            yield one, "a script stands in the page that the policy does not let through", needed
        if one.tag == "style" and "'unsafe-inline'" not in styles and digest(text) not in styles:
            yield one, "a style stands in the page that the policy does not let through", needed
        if "style" in one.at and "'unsafe-inline'" not in inner:
            yield one, "a style attribute stands in the page that the policy does not let through", needed
        for name, value in one.at.items():
            if name.startswith("on") and len(name) > 2:
                yield one, f"<{one.tag}> holds the handler {name}", "a script beside the page was needed"
            elif name in {"href", "src", "action", "xlink:href"} and value.strip().lower().startswith("javascript:"):
                yield one, f"<{one.tag}> holds a script in its {name}", "an address was needed"


def digest(text: str) -> str:
    """The digest a policy names an inline script by."""
    plain = text.replace("\r\n", "\n").replace("\r", "\n").encode("utf-8", "surrogatepass")
    return f"'sha256-{base64.b64encode(hashlib.sha256(plain).digest()).decode('ascii')}'"
