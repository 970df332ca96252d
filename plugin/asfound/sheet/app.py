"""The pages and the acts of the form, as addresses. Each request passes the door first; nobody keeps an answer."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from flask import Flask, Response, abort, render_template, request
from jinja2 import StrictUndefined
from werkzeug.exceptions import HTTPException

from asfound.desk import Refused
from asfound.model.number import VALUE_FORMS
from asfound.pages import assets
from asfound.sheet import beginning
from asfound.sheet.bench import Bench
from asfound.sheet.door import COOKIE, Door
from asfound.sheet.photos import Shown, add_photo, offset_text
from asfound.sheet.serve import PHOTO_BYTES
from asfound.sheet.told import told_of
from asfound.sheet.view import RowView, SheetView, list_of_sheets, sheet_view
from asfound.sheet.writing import NotWritten, Typed, Writer

_JSON_BYTES = 65_536
_HEADERS = {
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "font-src 'self'; connect-src 'self'; form-action 'none'; frame-ancestors 'none'; base-uri 'none'",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), microphone=(), display-capture=(), usb=(), serial=()",
    "Cache-Control": "no-store",
}
_HERE = Path(__file__).parent
_Act = Callable[[str, Mapping[str, Any]], Mapping[str, Any]]


def create_app(bench: Bench, door: Door, writer: Writer | None = None) -> Flask:
    """The form for one case, as a WSGI application."""
    app = Flask("asfound.sheet", root_path=str(_HERE), static_folder=None)
    app.config["MAX_CONTENT_LENGTH"] = PHOTO_BYTES + 65_536
    app.url_map.merge_slashes = False
    app.jinja_env.undefined = StrictUndefined
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    _Form(bench, door, writer or Writer(bench)).open(app)
    return app


class _Form:
    def __init__(self, bench: Bench, door: Door, writer: Writer) -> None:
        self.bench, self.door, self.writer = bench, door, writer

    def open(self, app: Flask) -> None:
        app.before_request(self.at_the_door)
        app.after_request(_headed)
        for path, function in (
            ("/", self.index), ("/enter/<token>", self.enter), ("/sheet/<name>", self.sheet),
            ("/sheet/<name>/rows", self.rows), ("/sheet/<name>/now", self.now), ("/assets/<path:name>", self.asset),
        ):  # fmt: skip
            app.add_url_rule(path, endpoint=function.__name__, view_func=function)
        acts: dict[str, _Act] = {
            "value": self.value, "again": self.again, "another": self.another, "remark": self.remark,
            "checked": self.checked, "strike": self.strike, "begin": self.begin, "close": self.close,
        }  # fmt: skip
        for name, act in acts.items():
            app.add_url_rule(f"/sheet/<name>/{name}", f"act-{name}", self.acting(act), methods=["POST"])
        app.add_url_rule("/ready", "act-ready", lambda: self.acting(self.ready, "")(), methods=["POST"])
        app.add_url_rule("/sheet/<name>/photo", "act-photo", self.photo, methods=["POST"])
        app.register_error_handler(NotWritten, _not_written)
        app.register_error_handler(Refused, _refused)
        app.register_error_handler(OSError, _disk)
        app.register_error_handler(HTTPException, _http)
        app.register_error_handler(Exception, _fault)

    # The door

    def at_the_door(self) -> Response | None:
        """Turn away whoever may not come in, before anything is read."""
        if said := self.door.refusal(request.method, {name.lower(): text for name, text in request.headers}):
            return _said(said, 403)
        if request.endpoint in ("enter", "asset") or self.door.known(request.cookies.get(COOKIE)):
            return None
        said = "This form was started anew, or you have not come in yet. Its window prints an address that opens it."
        if request.method == "GET" and not request.path.endswith("/now"):
            return Response(render_template("stop.html", said=said, title="Not open"), 401)
        return _said(said, 401)

    def enter(self, token: str) -> Response:
        """Exchange the token for a cookie."""
        made = self.door.enter(token)
        if made is None:
            said = "This address was used already, or is of another run. Enter in the form's window prints a new one."
            return Response(render_template("stop.html", said=said, title="Used already"), 403)
        # No redirect: one that follows a link from elsewhere would not bring a strict cookie along.
        to = request.args.get("to", "")
        name = to.removeprefix("sheet/")
        known = to == f"sheet/{name}" and name in self.bench.lying().sheets
        answer = Response(render_template("enter.html", title="Come in", to=f"/{to}" if known else "/"))
        answer.set_cookie(COOKIE, made, httponly=True, samesite="Strict", path="/")
        return answer

    # Pages

    def index(self) -> str:
        """The sheets of the case."""
        lying = self.bench.lying()
        sheets, bare = list_of_sheets(lying)
        return render_template("index.html", title=self.bench.title, case=lying.case, sheets=sheets, bare=bare)

    def sheet(self, name: str) -> str:
        """One sheet."""
        view = self._view(name)
        lying = self.bench.lying()
        return render_template(
            "sheet.html", title=view.title, case=lying.case, v=view, told=self._told(view), forms=VALUE_FORMS,
            instruments=lying.facts.instruments, functions=beginning.functions(lying.facts.instruments, view.test),
            offset=offset_text(self.bench.now()), item=lying.case.items.get(view.sheet.item),
        )  # fmt: skip

    def rows(self, name: str) -> str:
        """The rows of a sheet alone, for a page in which rows came or went."""
        view = self._view(name)
        return render_template("_rows.html", v=view, told=self._told(view))

    def now(self, name: str) -> dict[str, Any]:
        """What stands in the file by now, for a page that is open."""
        view = self._view(name)
        if request.args.get("v") == view.version:
            return {"version": view.version}
        return self._state(view)

    def asset(self, name: str) -> Response:
        """Styles, the script, fonts: what comes with the program, and nothing of the case."""
        if name == "asfound.css":
            return Response(assets.style(), mimetype="text/css")
        if name in ("sheet.css", "sheet.js"):
            text = (_HERE / "assets" / name).read_text(encoding="utf-8")
            return Response(text, mimetype="text/css" if name.endswith("css") else "text/javascript")
        if name in {path for path, _ in assets.shipped() if path.startswith("fonts/") and path.endswith(".woff2")}:
            return Response(assets.font(name), mimetype="font/woff2")
        abort(404)

    def _view(self, name: str) -> SheetView:
        lying = self.bench.lying()
        if name not in lying.sheets:
            abort(404)
        return sheet_view(lying, name)

    def _told(self, view: SheetView) -> Any:
        return told_of(self.bench, view.name, self.bench.now().date()) if view.closed else None

    def _state(self, view: SheetView) -> dict[str, Any]:
        told = self._told(view)
        return {
            "version": view.version, "structure": view.structure, "closed": view.closed, "open": view.open_rows,
            "state": view.state,
            "rows": {one.key: self._row(view, one, told) for one in view.rows},
        }  # fmt: skip

    def _row(self, view: SheetView, row: RowView, told: Any) -> dict[str, str]:
        return {"value": row.value, "told": render_template("_told.html", row=row, told=told, v=view)}

    def _written(self, name: str, row: str = "", **more: Any) -> dict[str, Any]:
        return {"row": row, **self._state(self._view(name)), **more}

    # Acts

    def acting(self, act: _Act, name: str | None = None) -> Callable[..., Any]:
        """The view of an act: what is sent is read, and that there is such a sheet is seen to, before it is done."""

        def answer(name: str | None = name) -> Any:
            if request.mimetype != "application/json":
                return _said("Only JSON is taken here.", 415)
            if (request.content_length or 0) > _JSON_BYTES:
                return _said("That is more than anybody types.", 413)
            try:
                given = request.get_json(silent=True)
            except RecursionError:
                given = None
            if not isinstance(given, dict):
                return _said("That cannot be read.", 400)
            if name and name not in self.bench.lying().sheets:
                abort(404)
            return act(name or "", given)

        return answer

    def value(self, name: str, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """Write a value."""
        ago = given.get("ago", 0)
        if not isinstance(ago, int | float) or not 0 <= ago <= 30 * 86_400:
            raise NotWritten("How long ago the value was typed cannot be told; type it again.")
        typed = Typed(
            _text(given, "row"), _text(given, "value"), _text(given, "expected"), _text(given, "by"), float(ago),
            _text(given, "why"),
        )  # fmt: skip
        return self._written(name, self.writer.value(name, typed))

    def again(self, name: str, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """One more row at the conditions of another."""
        return self._written(name, self.writer.again(name, _text(given, "row")))

    def another(self, name: str, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """A row at other conditions."""
        cells = given.get("conditions")
        if not isinstance(cells, dict) or not all(isinstance(one, str) for one in cells.values()):
            raise NotWritten("The conditions are not told as texts.")
        return self._written(name, self.writer.another(name, cells))

    def remark(self, name: str, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """Words for the note of a row."""
        self.writer.remark(name, _text(given, "row"), _text(given, "text"), _text(given, "by"))
        return self._written(name, _text(given, "row"))

    def checked(self, name: str, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """A value that was asked about is right."""
        self.writer.checked(name, _text(given, "row"), _text(given, "by"))
        return self._written(name, _text(given, "row"))

    def strike(self, name: str, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """A reading that does not count."""
        self.writer.strike(name, _text(given, "row"), _text(given, "why"), _text(given, "by"))
        return self._written(name, _text(given, "row"))

    def begin(self, name: str, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """With which instrument, and who reads."""
        ref, _, function = _text(given, "instrument").partition(" ")
        same = given.get("constants")
        said = {str(key): str(text).strip() for key, text in same.items()} if isinstance(same, dict) else {}
        beginning.begin(self.writer, name, ref, function, _text(given, "by"), said)
        return self._written(name)

    def close(self, name: str, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """Close the sheet."""
        left = given.get("left")
        beginning.close(self.writer, name, left if type(left) is int else -1, _text(given, "by"))
        return self._written(name)

    def ready(self, _name: str, given: Mapping[str, Any]) -> Mapping[str, Any]:
        """Lay a sheet ready."""
        return {"sheet": beginning.lay_ready(self.writer, _text(given, "test"))}

    def photo(self, name: str) -> Any:
        """A photograph: its bytes alone, and what is said of it in a header."""
        if request.mimetype != "application/octet-stream":
            return _said("The bytes of one picture are needed.", 415)
        try:
            told = json.loads(unquote(request.headers.get("X-Asfound-Photo", ""), errors="strict"))
        except (ValueError, UnicodeDecodeError):
            told = None
        if not isinstance(told, dict):
            return _said("What the picture shows is not told.", 422)
        items = told.get("items", [])
        if not isinstance(items, list) or not all(isinstance(one, str) for one in items):
            return _said("The things in the picture are not told.", 422)
        faces = told.get("faces")
        shown = Shown(
            _text(told, "name"), _text(told, "shows"), _text(told, "by"), tuple(items), _text(told, "view"),
            faces if isinstance(faces, bool) else None, _text(told, "offset"), _text(told, "row"),
        )  # fmt: skip
        ref, notes = add_photo(self.writer, name, request.get_data(cache=False), shown)
        return self._written(name, shown.row, photo=ref, notes=list(notes))


def _text(given: Mapping[str, Any], name: str) -> str:
    found = given.get(name, "")
    if not isinstance(found, str):
        raise NotWritten(f"“{name}” is no text.")
    return found


def _headed(answer: Response) -> Response:
    for name, text in _HEADERS.items():
        answer.headers[name] = text
    return answer


def _said(said: str, status: int, **more: Any) -> Response:
    body = json.dumps({"said": said, **more}, ensure_ascii=False)
    return Response(body, status, mimetype="application/json")


def _not_written(error: NotWritten) -> Response:
    return _said(error.said, error.status, **error.more)


def _refused(error: Refused) -> Response:
    words = "; ".join(error.reasons)
    more = [f"{one.found}; {one.needed}" for one in error.problems[:3]]
    busy = "changed by somebody else" in words
    said = ". ".join([f"{words[:1].upper()}{words[1:]}", *more]) + "."
    return _said(f"Not written: {said}", 423 if busy else 422)


def _disk(error: OSError) -> Response:
    why = (error.strerror or "the system refused").lower()
    return _said(f"The disk refused ({why}). What is not written yet stays on the page and is tried again.", 503)


def _http(error: HTTPException) -> Response:
    words = {404: "There is nothing at this address.", 405: "That cannot be done here.", 413: "That is too large."}
    said = words.get(error.code or 500, "That cannot be answered.")
    if request.method == "GET":
        return Response(render_template("stop.html", said=said, title="Not found"), error.code or 500)
    return _said(said, error.code or 500)


def _fault(error: Exception) -> Response:
    said = f"asfound met a fault of its own: {type(error).__name__}. What you typed stays on the page."
    return _said(said, 500)
