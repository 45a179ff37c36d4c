"""What one running bench page knows: the store, the day, who was let in, files not yet loaded."""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
import shutil
import tempfile
import threading
import time
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from xref.store import Store

MOST_SESSIONS = 2000
MOST_FILES = 30
MOST_ANSWERED = 2000
FORM_SECONDS = 60.0  # how long the same form, sent twice, waits for the first
TRIES, TRIES_SECONDS = 8, 300.0  # wrong access codes before everybody has to wait, and how long
_ALPHABET = "23456789abcdefghjkmnpqrstuvwxyz"  # nothing that looks like something else
_UNSAFE_NAME = re.compile(r"[^\w.,()+ -]+")


def new_code() -> str:
    """Return an access code that can be read aloud: 40 bits, no look-alike letters."""
    drawn = "".join(secrets.choice(_ALPHABET) for _ in range(8))
    return f"{drawn[:4]}-{drawn[4:]}"


def safe_name(name: str) -> str:
    """Return an uploaded file's name without any path, control or reserved characters."""
    last = re.split(r"[/\\]", name)[-1]
    kept = _UNSAFE_NAME.sub("-", last).strip(" .-")
    stem, dot, ending = kept.rpartition(".")
    return f"{stem[:80]}{dot}{ending[:10]}" if dot else kept[:80] or "table"


@dataclass
class Upload:
    """A file that was sent and is not loaded yet."""

    path: Path
    name: str
    rows: int | None = None
    """How many rows its preview counted."""


@dataclass
class Job:
    """A load under way or done: its result, or the error it ended with."""

    file: str
    key: str = field(default_factory=lambda: secrets.token_urlsafe(9))
    started: float = field(default_factory=time.monotonic)
    stages: list[tuple[str, float]] = field(default_factory=list)
    """What is done so far, and after how many seconds."""
    result: dict[str, Any] | None = None
    error: Exception | None = None

    def tell(self, stage: str) -> None:
        """Note that a stage ended."""
        self.stages.append((stage, time.monotonic() - self.started))


class Bench:
    """The state of one running page. Nothing of it is precious: all that is lives in the store."""

    def __init__(
        self,
        store: Path | None = None,
        *,
        on: date | None = None,
        code: str | None = None,
        hosts: frozenset[str] = frozenset({"127.0.0.1", "localhost", "[::1]"}),
        largest: int = 25_000_000,
    ) -> None:
        """`hosts`: names this page may be asked for by; `largest`: bytes a request may have."""
        self._where = store
        self._on = on
        self.code = code
        self.hosts = hosts
        self.largest = largest
        self._secret = secrets.token_bytes(32)
        self._guard = threading.Lock()
        self._store: Store | None = None
        self._admitted: OrderedDict[str, None] = OrderedDict()
        self._told: OrderedDict[str, str] = OrderedDict()
        self._answered: OrderedDict[str, str] = OrderedDict()
        self._acting: set[str] = set()
        self._acted = threading.Condition(self._guard)
        self._files: OrderedDict[str, Upload] = OrderedDict()
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._wrong: list[float] = []
        self._folder: Path | None = None

    def store(self) -> Store:
        """Return the store; it opens its state for each use and holds nothing in between."""
        from xref.faces.web.turns import SharedStore

        with self._guard:
            if self._store is None:
                self._store = SharedStore.open(self._where)
            return self._store

    @property
    def day(self) -> date:
        """The day to act on: the one given, else today by the local clock."""
        return self._on or date.today()

    # Sessions and tokens

    def token(self, session: str) -> str:
        """Return what every form of this session carries, and a form from elsewhere cannot."""
        return hmac.new(self._secret, session.encode(), hashlib.sha256).hexdigest()

    def is_token(self, session: str, token: str) -> bool:
        """Whether a form's token is this session's; compared in constant time."""
        return hmac.compare_digest(self.token(session).encode(), token.encode())

    def admitted(self, session: str | None) -> bool:
        """Whether this session may see pages."""
        if self.code is None:
            return True
        with self._guard:
            return session is not None and session in self._admitted

    def try_code(self, session: str, code: str) -> str:
        """Compare an access code; return `right`, `wrong`, or `wait` after too many wrong ones."""
        now = time.monotonic()
        with self._guard:
            self._wrong = [at for at in self._wrong if now - at < TRIES_SECONDS]
            if len(self._wrong) >= TRIES:
                return "wait"
            expected = "".join((self.code or "").split("-"))
            given = "".join(c for c in code.lower() if c.isalnum())
            if not hmac.compare_digest(expected.encode(), given.encode()):
                self._wrong.append(now)
                return "wrong"
            _keep(self._admitted, session, None, MOST_SESSIONS)
            return "right"

    # What a page says once, and forms that were sent twice

    def tell(self, session: str, text: str) -> None:
        """Keep a sentence for the session's next page."""
        with self._guard:
            _keep(self._told, session, text, MOST_SESSIONS)

    def told(self, session: str) -> str | None:
        """Return the sentence kept, once."""
        with self._guard:
            return self._told.pop(session, None)

    @contextmanager
    def acting(self, once: str) -> Iterator[str | None]:
        """Act on a form while the block runs; gives where it had led to, if it was acted on.

        The same form sent twice at the same moment waits for the first to be done.
        """
        if not once:
            yield None
            return
        with self._acted:
            self._acted.wait_for(lambda: once not in self._acting, FORM_SECONDS)
            led = self._answered.get(once)
            self._acting.add(once)
        try:
            yield led
        finally:
            with self._acted:
                self._acting.discard(once)
                self._acted.notify_all()

    def remember(self, once: str, address: str) -> None:
        """Remember that a form was acted on, so that sending it again changes nothing."""
        with self._guard:
            _keep(self._answered, once, address, MOST_ANSWERED)

    # Files sent

    def take(self, name: str, content: Any) -> str:
        """Keep a sent file under a name of its own; return the key it is found by."""
        key = secrets.token_urlsafe(12)
        with self._guard:
            if self._folder is None:
                self._folder = Path(tempfile.mkdtemp(prefix="xref-bench-"))
            place = self._folder / key
        place.mkdir(mode=0o700)
        clean = safe_name(name)
        with (place / clean).open("wb") as file:
            shutil.copyfileobj(content, file)
        with self._guard:
            self._files[key] = Upload(place / clean, clean)
            while len(self._files) > MOST_FILES:
                _, oldest = self._files.popitem(last=False)
                shutil.rmtree(oldest.path.parent, ignore_errors=True)
        return key

    def file(self, key: str) -> Upload | None:
        """Return a file that was sent, or None when it is gone."""
        with self._guard:
            return self._files.get(key)

    def start(self, job: Job) -> Job:
        """Remember a load that begins."""
        with self._guard:
            _keep(self._jobs, job.key, job, MOST_FILES)
        return job

    def job(self, key: str) -> Job | None:
        """Return a load, or None when it is no longer remembered."""
        with self._guard:
            return self._jobs.get(key)

    def close(self) -> None:
        """Remove the files that were sent."""
        with self._guard:
            folder, self._folder = self._folder, None
            self._files.clear()
        if folder is not None:
            shutil.rmtree(folder, ignore_errors=True)


def _keep(kept: OrderedDict[str, Any], key: str, value: Any, most: int) -> None:
    kept[key] = value
    kept.move_to_end(key)
    while len(kept) > most:
        kept.popitem(last=False)
