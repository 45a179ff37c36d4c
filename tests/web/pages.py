"""Talking to the bench page as a browser without scripts does: open a page, fill its form, send."""

from __future__ import annotations

import html
import re
import time
from dataclasses import dataclass
from html.parser import HTMLParser
from typing import Any

from starlette.testclient import TestClient

BASE = "http://127.0.0.1:8624"


@dataclass
class Form:
    """A form of a page: where it goes and what it holds."""

    action: str
    method: str
    fields: dict[str, str]


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self._select: str | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append(Form(given["action"], given.get("method", "get").lower(), {}))
        if not self.forms:
            return
        fields = self.forms[-1].fields
        if tag == "input" and "name" in given and given.get("type") not in ("checkbox", "file"):
            fields[given["name"]] = given.get("value", "")
        elif tag == "select":
            self._select = given["name"]
        elif tag == "option" and self._select is not None:
            known = "selected" in given or self._select not in fields
            if known:
                fields[self._select] = given.get("value", "")


def forms(text: str) -> list[Form]:
    """Return the forms of a page."""
    reader = _Forms()
    reader.feed(text)
    return reader.forms


class Browser:
    """A client that keeps its cookies and sends forms with all they hold."""

    def __init__(self, app: Any) -> None:
        self.client = TestClient(app, base_url=BASE)
        self.page: Any = None

    def open(self, address: str) -> str:
        """Open a page and return its text."""
        self.page = self.client.get(address)
        return str(self.page.text)

    def send(self, action: str, files: Any = None, /, **given: str) -> str:
        """Fill the page's form with this action and send it; return the page it leads to."""
        form = next(f for f in forms(self.page.text) if f.action.split("?")[0] == action)
        fields = {**form.fields, **given}
        address = form.action
        if form.method == "get":
            self.page = self.client.get(address, params=fields)
        else:
            self.page = self.client.post(address, data=fields, files=files)
        return str(self.page.text)

    def wait(self) -> str:
        """Look again while the page says that it goes on, as a browser does by itself."""
        for _ in range(300):
            if 'http-equiv="refresh"' not in self.page.text:
                break
            time.sleep(0.1)
            self.page = self.client.get(str(self.page.url))
        return str(self.page.text)

    def said(self) -> str:
        """Return what the page says: the note, or the sentence of a failure."""
        found = re.search(r'class="(?:told|sorry)"[^>]*>(.*?)</p>', self.page.text, re.S)
        return html.unescape(found[1]) if found else ""
