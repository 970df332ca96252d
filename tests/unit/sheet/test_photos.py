"""A photograph from the tablet becomes evidence of the case, once, with its digest."""

from __future__ import annotations

import hashlib
import io
import json
from typing import Any
from urllib.parse import quote

import pytest
from PIL import Image

from .conftest import HOST, OWN, Form


def _picture(colour: str = "grey", form: str = "JPEG") -> bytes:
    out = io.BytesIO()
    exif = Image.Exif()
    exif[0x0132] = "2026:03:20 09:10:00"  # DateTime, TIFF 6.0
    Image.new("RGB", (64, 48), colour).save(out, form, **({"exif": exif} if form == "JPEG" else {}))
    return out.getvalue()


def _send(form: Form, data: bytes, mime: str = "application/octet-stream", **said: Any) -> Any:
    told = {"name": "image.jpg", "shows": "The analyser at row 1.", "by": "examiner", "items": ["I-1"], **said}
    head = {**OWN, "Content-Type": mime, "X-Asfound-Photo": quote(json.dumps(told))}
    return form.client.post("/sheet/S-output/photo", data=data, headers=head, base_url=f"http://{HOST}")


def test_a_photograph_is_registered_with_its_digest_and_named_on_its_row(form: Form) -> None:
    form.value("1", "88.4")
    data = _picture()
    answer = _send(form, data, row="1", view="close", faces=False, offset="-05:00")
    assert answer.status_code == 200, answer.json
    ref = answer.json["photo"]
    assert (form.home / "evidence" / "image.jpg").read_bytes() == data
    register = (form.home / "evidence.yml").read_text(encoding="utf-8")
    own = register[register.index(f"{ref}:") :]
    assert hashlib.sha256(data).hexdigest() in own and "The analyser at row 1." in own and "faces: no" in own
    assert form.line("1").endswith(f"photograph {ref}")
    # The answer was lost and the page asks again: nothing is registered twice.
    again = _send(form, data, row="1", offset="-05:00")
    assert again.json["photo"] == ref and form.line("1").count(ref) == 1
    assert (form.home / "evidence.yml").read_text(encoding="utf-8") == register


@pytest.mark.parametrize(
    "name", ["../../../etc/x.jpg", "..\\..\\x.jpg", "con.jpg", "\x00", "a" * 4000, "", ".git", "=x.jpg"]
)
def test_a_name_leads_nowhere(form: Form, name: str) -> None:
    before = set(form.home.parent.parent.rglob("*"))
    answer = _send(form, _picture("red"), name=name, offset="-05:00")
    assert answer.status_code == 200, answer.json
    made = set(form.home.parent.parent.rglob("*")) - before
    assert len(made) == 1 and made.pop().parent == form.home / "evidence"


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>", 415),
        (b"<!doctype html><script>1</script>", 415),
        (b"%PDF-1.7", 415),
        (b"MZ\x90\x00\x03", 415),
        (b"", 415),
    ],
)
def test_what_is_no_photograph_by_its_content_is_refused(form: Form, data: bytes, code: int) -> None:
    before = sorted((form.home / "evidence").iterdir())
    assert _send(form, data).status_code == code
    assert sorted((form.home / "evidence").iterdir()) == before


def test_what_is_too_large_or_untold_is_refused(form: Form) -> None:
    assert _send(form, b"\xff\xd8\xff" + bytes(26 * 1_048_576)).status_code == 413
    for said in (
        {"shows": " "},
        {"by": "ghost"},
        {"items": ["I-99"]},
        {"items": "I-1"},
        {"shows": 4},
        {"offset": "noon"},
    ):
        answer = _send(form, _picture("blue"), **said)
        assert answer.status_code == 422 and answer.json["said"], said
    assert _send(form, _picture("blue"), mime="image/jpeg").status_code == 415
    head = {**OWN, "Content-Type": "application/octet-stream", "X-Asfound-Photo": "{"}
    answer = form.client.post("/sheet/S-output/photo", data=_picture(), headers=head, base_url=f"http://{HOST}")
    assert answer.status_code == 422
