"""A client of the Language Server Protocol 3.17 over standard streams, as an editor is one: enough of it to open a
file, read what is marked, ask what could be typed, and look at what the pointer rests on.

The server may ask nobody: what would reach for a network, or for a name, is stopped in its own process and written
down.
"""

from __future__ import annotations

import json
import queue
import subprocess
import threading
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

SETTINGS: Mapping[str, Any] = {
    "yaml": {
        "schemaStore": {"enable": False},
        "kubernetesCRDStore": {"enable": False},
        "validate": True,
        "hover": True,
        "completion": True,
        "hoverSchemaSource": False,
    }
}
"""Those of the editor, without any that leads to a schema: what leads there is the first line of each file."""

# The server is a program for node: loaded before it, this stands where it would open a connection or look up a name.
_ALONE = """\
const fs = require('fs'), net = require('net'), dns = require('dns');
const refuse = (what) => { fs.appendFileSync(%s, what + '\\n'); throw new Error('no network here'); };
net.Socket.prototype.connect = (...given) => refuse('connect ' + JSON.stringify(given[0]));
dns.lookup = (name) => refuse('lookup ' + name);
dns.promises.lookup = async (name) => refuse('lookup ' + name);
globalThis.fetch = async (address) => refuse('fetch ' + address);
"""
PATIENCE = 90.0
"""Seconds until a server that says nothing is given up; how long it takes decides nothing else."""


@dataclass(frozen=True)
class Mark:
    """Something an editor underlines: line and column (both from 1), words, and whether it is an error."""

    line: int
    column: int
    text: str
    error: bool


class LanguageServer:
    """One running server for one folder."""

    def __init__(self, program: str, node: str, root: Path, beside: Path) -> None:
        self.asked = beside / "asked.txt"
        alone = beside / "alone.cjs"
        alone.write_text(_ALONE % json.dumps(str(self.asked)), "utf-8")
        self._root = root
        self._process = subprocess.Popen(
            [node, "--require", str(alone), program, "--stdio"],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, cwd=root,
        )  # fmt: skip
        self._next = 0
        self._versions: dict[str, int] = {}
        self._answers: dict[int, queue.Queue[dict[str, Any]]] = {}
        self._marks: dict[str, queue.Queue[list[dict[str, Any]]]] = {}
        threading.Thread(target=self._read, daemon=True).start()
        self._ask(
            "initialize",
            {
                "processId": None,
                "rootUri": root.as_uri(),
                "workspaceFolders": [{"uri": root.as_uri(), "name": "cases"}],
                "capabilities": {
                    "workspace": {"configuration": True},
                    "textDocument": {
                        "completion": {
                            "completionItem": {"snippetSupport": True, "documentationFormat": ["markdown", "plaintext"]}
                        },
                        "hover": {"contentFormat": ["markdown", "plaintext"]},
                        "publishDiagnostics": {},
                    },
                },
            },
        )
        self._tell("initialized", {})
        self._tell("workspace/didChangeConfiguration", {"settings": SETTINGS})

    def marks(self, file: Path, text: str | None = None) -> list[Mark]:
        """Open a file, with other text than it holds where some is given, and wait for what the server marks."""
        uri = self._open(file, file.read_text("utf-8") if text is None else text)
        found = self._marks[uri].get(timeout=PATIENCE)
        return [
            Mark(
                one["range"]["start"]["line"] + 1,
                one["range"]["start"]["character"] + 1,
                one["message"],
                one.get("severity", 1) == 1,
            )
            for one in found
        ]

    def completion(self, file: Path, text: str) -> dict[str, str]:
        """What could be typed where `text` holds a `|`: label → what is said of it."""
        uri, at = self._at(file, text)
        found = self._ask("textDocument/completion", {"textDocument": {"uri": uri}, "position": at})
        items = found["items"] if isinstance(found, dict) else found
        return {one["label"]: _words(one.get("documentation")) for one in items}

    def hover(self, file: Path, text: str) -> str:
        """What is shown where `text` holds a `|`."""
        uri, at = self._at(file, text)
        found = self._ask("textDocument/hover", {"textDocument": {"uri": uri}, "position": at})
        return _words(found["contents"]) if found else ""

    def close(self) -> None:
        """End it."""
        self._ask("shutdown", None)
        self._tell("exit", None)
        self._process.wait(PATIENCE)
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                stream.close()

    def kill(self) -> None:
        """End it, whatever it does."""
        self._process.kill()
        self._process.wait(PATIENCE)

    def _at(self, file: Path, text: str) -> tuple[str, dict[str, int]]:
        assert text.count("|") == 1, "one place has to be marked by a |"
        before, _, after = text.partition("|")
        uri = self._open(file, before + after)
        # Until it has marked a text it has not read it.
        self._marks[uri].get(timeout=PATIENCE)
        return uri, {"line": before.count("\n"), "character": len(before.rpartition("\n")[2])}

    def _open(self, file: Path, text: str) -> str:
        uri = file.as_uri()
        version = self._versions.get(uri, 0) + 1
        self._versions[uri] = version
        self._marks[uri] = queue.Queue()
        if version == 1:
            document = {"uri": uri, "languageId": "yaml", "version": version, "text": text}
            self._tell("textDocument/didOpen", {"textDocument": document})
        else:
            self._tell(
                "textDocument/didChange",
                {"textDocument": {"uri": uri, "version": version}, "contentChanges": [{"text": text}]},
            )
        return uri

    def _ask(self, method: str, params: Any) -> Any:
        self._next += 1
        answer = self._answers[self._next] = queue.Queue()
        self._send({"jsonrpc": "2.0", "id": self._next, "method": method, "params": params})
        found = answer.get(timeout=PATIENCE)
        assert "error" not in found, found
        return found.get("result")

    def _tell(self, method: str, params: Any) -> None:
        self._send({"jsonrpc": "2.0", "method": method, "params": params})

    def _send(self, message: Mapping[str, Any]) -> None:
        assert self._process.stdin is not None
        data = json.dumps(message).encode()
        self._process.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(data), data))
        self._process.stdin.flush()

    def _read(self) -> None:
        stream = self._process.stdout
        assert stream is not None
        while True:
            length = 0
            while (line := stream.readline()) not in (b"", b"\r\n"):
                name, _, value = line.partition(b":")
                if name.lower() == b"content-length":
                    length = int(value)
            if not length:
                return
            self._take(json.loads(stream.read(length)))

    def _take(self, message: dict[str, Any]) -> None:
        method = message.get("method")
        if method is None:
            self._answers[message["id"]].put(message)
        elif method == "textDocument/publishDiagnostics":
            said = message["params"]
            if said.get("version") in (None, self._versions.get(said["uri"])):
                self._marks[said["uri"]].put(said["diagnostics"])
        elif "id" in message:
            found: Any = None
            if method == "workspace/configuration":
                found = [SETTINGS.get(one.get("section", ""), {}) for one in message["params"]["items"]]
            self._send({"jsonrpc": "2.0", "id": message["id"], "result": found})


def _words(said: Any) -> str:
    if isinstance(said, dict):
        return str(said.get("value", ""))
    if isinstance(said, list):
        return "\n".join(map(_words, said))
    return str(said or "")
