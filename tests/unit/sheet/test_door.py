"""Who may come in, and what a request has to look like."""

from __future__ import annotations

from collections.abc import Callable
from http.cookies import SimpleCookie

import pytest

from asfound.sheet import Door, NoAddress, listen

from .conftest import HOST, OWN, Form


def test_a_token_opens_once_and_its_cookie_opens_again(make: Callable[..., Form]) -> None:
    form = make()
    token = form.door.token()
    other = form.client.application.test_client()
    first = other.get(f"/enter/{token}", headers=OWN, base_url=f"http://{HOST}")
    assert first.status_code == 200
    # RFC 6265bis, 4.1.2.7 (secondary): a strict cookie is sent with no request that another site set off.
    (cookie,) = SimpleCookie(first.headers["Set-Cookie"]).values()
    assert cookie["httponly"] and cookie["samesite"] == "Strict" and cookie["path"] == "/" and not cookie["domain"]
    assert other.get("/", headers=OWN, base_url=f"http://{HOST}").status_code == 200
    third = form.client.application.test_client()
    again = third.get(f"/enter/{token}", headers=OWN, base_url=f"http://{HOST}")
    assert again.status_code == 403 and "Set-Cookie" not in again.headers
    assert third.get("/", headers=OWN, base_url=f"http://{HOST}").status_code == 401


def test_a_new_token_ends_the_one_before() -> None:
    door = Door([HOST])
    old, new = door.token(), door.token()
    assert door.enter(old) is None
    made = door.enter(new)
    assert made and door.known(made) and not door.known(new) and not door.known("") and not door.known(None)


def test_the_oldest_browser_goes_where_too_many_came_in() -> None:
    door = Door([HOST])
    made = [door.enter(door.token()) for _ in range(65)]
    assert not door.known(made[0]) and all(map(door.known, made[1:]))


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "evil.example"},
        {"Host": "127.0.0.1:8378"},
        {"Host": "127.0.0.1"},
        {"Origin": "http://evil.example"},
        {"Origin": "https://127.0.0.1:8377"},
        {"Origin": "null"},
        {"Origin": f"http://{HOST}.evil.example"},
        {"Origin": ""},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_request_from_elsewhere_writes_nothing(make: Callable[..., Form], headers: dict[str, str]) -> None:
    """OWASP cheat sheet on cross-site request forgery (secondary): origin verified, custom type, strict cookie."""
    form = make()
    before = (form.home / "sheets.yml").read_bytes()
    sent = {name: text for name, text in {**OWN, **headers}.items() if text}
    answer = form.post("/sheet/S-output/begin", sent, instrument="M-1 power", by="examiner")
    assert answer.status_code == 403
    assert (form.home / "sheets.yml").read_bytes() == before


def test_a_name_that_was_made_to_lead_here_shows_nothing(make: Callable[..., Form]) -> None:
    form = make()
    for path in ("/", "/sheet/S-output", "/assets/sheet.js", f"/enter/{form.door.token()}"):
        assert form.get(path, {"Host": "rebound.example:8377"}).status_code == 403
    assert form.get("/", {"Host": "localhost:8377"}).status_code in (200, 401)
    assert form.get("/", {"Host": HOST, "Origin": "http://evil.example"}).status_code == 403


@pytest.mark.parametrize("mime", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""])
def test_only_json_is_taken(form: Form, mime: str) -> None:
    """The types that a form of another page can send without being asked (Fetch standard, CORS-safelisted)."""
    body = '{"row": "1", "value": "5", "expected": "", "by": "examiner"}'
    answer = form.client.post(
        "/sheet/S-output/value", data=body, headers={**OWN, "Content-Type": mime}, base_url=f"http://{HOST}"
    )
    assert answer.status_code == 415 and "88" not in form.line("1") and ",,," in form.line("1")


@pytest.mark.parametrize("path", ["/", "/sheet/S-output", "/assets/sheet.js", "/nothing", "/assets/fonts/../door.py"])
def test_every_answer_bears_the_policy(make: Callable[..., Form], path: str) -> None:
    answer = make().get(path)
    policy = answer.headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'; script-src 'self'; style-src 'self';")
    assert "unsafe" not in policy and "http" not in policy
    assert answer.headers["Cache-Control"] == "no-store" and answer.headers["Referrer-Policy"] == "no-referrer"
    assert answer.headers["X-Content-Type-Options"] == "nosniff" and "Access-Control-Allow-Origin" not in answer.headers


@pytest.mark.parametrize(
    "path",
    [
        "/sheet/../case.yml", "/sheet/S-none", "/sheet/S-output%2f..%2f..%2fcase", "/assets/../app.py",
        "/assets/fonts/..%2f..%2fassets%2f__init__.py", "/assets//etc/passwd", "/sheet/%2e%2e/value",
    ],
)  # fmt: skip
def test_a_path_leads_nowhere_else(form: Form, path: str) -> None:
    answer = form.get(path)
    assert answer.status_code in (404, 405) and "case:" not in answer.text and "import" not in answer.text
    assert form.post(path, row="1", value="5", expected="", by="examiner").status_code in (404, 405)


def test_an_act_on_a_sheet_that_is_none_makes_no_file(form: Form) -> None:
    before = sorted(place for place in form.home.rglob("*"))
    for name in ("S-none", "..", "S-..%2f..%2fx", "readings"):
        for act in ("value", "again", "another", "remark", "strike", "begin", "close"):
            answer = form.post(f"/sheet/{name}/{act}", row="1", value="5", expected="", by="examiner", conditions={})
            assert answer.status_code in (404, 405), (name, act, answer.status_code)
    assert sorted(place for place in form.home.rglob("*")) == before


@pytest.mark.parametrize(
    "body", [b"[]", b"{", b"\xff", b"null", b'"x"', b'{"row": 1, "value": {}, "by": []}', b"[" * 9000]
)
def test_bytes_that_are_no_act_are_refused_in_words(form: Form, body: bytes) -> None:
    answer = form.client.post(
        "/sheet/S-output/value",
        data=body,
        headers={**OWN, "Content-Type": "application/json"},
        base_url=f"http://{HOST}",
    )
    assert answer.status_code in (400, 422) and answer.json["said"] and "Traceback" not in answer.text


def test_more_than_anybody_types_is_not_taken(form: Form) -> None:
    assert form.value("1", "9" * 70_000).status_code == 413
    assert form.value("1", "9" * 500).status_code == 422
    assert form.post("/sheet/S-output/remark", row="1", text="x" * 2001, by="examiner").status_code == 422


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "no.such.name.invalid"])
def test_no_form_listens_everywhere(host: str, monkeypatch: pytest.MonkeyPatch) -> None:
    import socket

    if host.endswith("invalid"):

        def unknown(*_args: object, **_more: object) -> object:
            raise socket.gaierror(-2, "Name or service not known")

        monkeypatch.setattr(socket, "getaddrinfo", unknown)
    else:
        monkeypatch.setattr(
            socket,
            "getaddrinfo",
            lambda *_a, **_m: [(socket.AF_INET6 if ":" in host else socket.AF_INET, 1, 6, "", (host, 0))],
        )
    with pytest.raises(NoAddress):
        listen(host, 0)


def test_it_listens_on_this_machine_alone_and_says_when_the_port_is_taken() -> None:
    one = listen(port=0)
    try:
        assert one.here and one.socket.getsockname()[0] == "127.0.0.1"
        port = one.socket.getsockname()[1]
        assert one.url == f"http://127.0.0.1:{port}" and f"localhost:{port}" in one.addresses
        with pytest.raises(NoAddress, match="name another"):
            listen(port=port)
    finally:
        one.socket.close()
