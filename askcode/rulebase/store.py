"""The compiled knowledge: one SQLite file in the user's cache folder, written once and only read afterwards.

YAML is read when the store is built, never when a question is asked. The name of the file holds the hash of what it was
built from and the checksum of its own bytes, so a stale one is never opened and a damaged one is built again. Where
nothing can be written the store lives in memory for the run.
"""

from __future__ import annotations

import hashlib
import mmap
import os
import sqlite3
import tempfile
import threading
import time
import zlib
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import msgspec

if TYPE_CHECKING:
    from askcode.rulebase.load import Knowledge
    from askcode.rulebase.search import Index

SCHEMA = 1  # user_version; code changes are seen by hash, so this moves only with the layout of the file
CACHE_VARIABLE = "ASKCODE_CACHE"
STALE_TEMP = 600  # seconds after which a temporary file must have been left by a killed run
KEPT_STORES = 4  # so that going back and forth between editions of the files, or amendments, builds nothing again

T = TypeVar("T")


class Store:
    """Named JSON of each kind, and the phrases to search. Opened lazily, mended once if a read meets damage."""

    def __init__(self, folder: Path | None = None, overlay: Path | None = None, cache: Path | None = None):
        from askcode.rulebase.layers import knowledge_folder

        self.folder = folder or knowledge_folder()
        self.overlay = overlay
        self.cache = cache if cache is not None else cache_folder()
        self.lock = threading.RLock()
        self.connection = self._open()

    def get(self, kind: str, name: str) -> bytes | None:
        """The JSON of one thing, or None."""
        found = self.rows("select json from known where kind = ? and name = ?", (kind, name))
        return found[0][0] if found else None

    def all(self, kind: str) -> list[tuple[Any, ...]]:
        """Every thing of a kind with its name, in the order of the files."""
        return self.rows("select name, json from known where kind = ? order by place", (kind,))

    def rows(self, query: str, values: tuple[object, ...] = ()) -> list[tuple[Any, ...]]:
        """All rows of a query. A store that turns out damaged is built again, once."""
        with self.lock:
            try:
                return self.connection.execute(query, values).fetchall()
            except sqlite3.OperationalError as error:
                if "malformed" not in str(error) and "disk I/O" not in str(error):
                    raise  # a query that cannot be parsed, not a store that cannot be read
            except sqlite3.DatabaseError:
                pass
            self.connection.close()
            self.connection = in_memory(self._knowledge())
            return self.connection.execute(query, values).fetchall()

    # --- finding and building -----------------------------------------------------------------------------------------
    def _knowledge(self) -> Knowledge:
        from askcode.rulebase.load import load

        return load(self.folder, self.overlay)

    def _open(self) -> sqlite3.Connection:
        cache = self.cache
        if self.overlay is not None and not self.overlay.is_dir():
            return in_memory(self._knowledge())  # raises: without its files a cached store would look like this one
        if cache is None:
            return in_memory(self._knowledge())
        files = _sources(self.folder, self.overlay)
        pointer = cache / f"{_fingerprint(files)}.seen"
        if known := _attempt(lambda: open_file(cache / pointer.read_text(encoding="utf-8").strip())):
            return known
        digest = _content_hash(files)
        for path in _attempt(lambda: sorted(cache.glob(f"rulebase-{digest}-*.db"))) or []:
            if known := _attempt(lambda path=path: open_file(path)):  # type: ignore[misc]
                _point(pointer, path.name)
                return known
        knowledge = self._knowledge()  # raises KnowledgeError for a bad overlay
        built = _attempt(lambda: build(knowledge, cache, digest))
        connection = _attempt(lambda: open_file(built)) if built else None
        if built is None or connection is None:
            return in_memory(knowledge)
        _point(pointer, built.name)
        _sweep(cache, {pointer.name, built.name})
        return connection


def _attempt(work: Callable[[], T]) -> T | None:
    """What the work gives, or None where the disk or the file does not let it."""
    try:
        return work()
    except (OSError, sqlite3.Error, ValueError):
        return None


def cache_folder() -> Path | None:
    """The user's cache folder, or None where there is no usable place for one."""
    if named := os.environ.get(CACHE_VARIABLE):
        return Path(named)
    from platformdirs import user_cache_path

    try:
        path = user_cache_path("askcode", appauthor=False)
    except (RuntimeError, OSError, KeyError):
        return None
    return path if path.is_absolute() else None


def open_file(path: Path) -> sqlite3.Connection:
    """Open a store read-only. Raises ValueError or sqlite3.DatabaseError where it is not what its name says."""
    _, _, digest = path.stem.partition("-")[2].partition("-")
    if digest != _checksum(path):
        raise ValueError(f"{path.name} is damaged")
    connection = sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro&immutable=1", uri=True, check_same_thread=False)
    try:
        if connection.execute("pragma user_version").fetchone()[0] != SCHEMA:
            raise ValueError(f"{path.name} has another layout")
    except BaseException:
        connection.close()
        raise
    return connection


def _checksum(path: Path) -> str:
    """CRC-32 of a file's bytes: for damage, not malice, and 5 times quicker than a cryptographic hash at each start.

    Raises ValueError for an empty file.
    """
    with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as content:
        return f"{zlib.crc32(content):08x}"


def in_memory(knowledge: Knowledge) -> sqlite3.Connection:
    """The same store for this run only."""
    connection = sqlite3.connect(":memory:", check_same_thread=False)
    _compile(knowledge, connection)
    return connection


def build(knowledge: Knowledge, cache: Path, digest: str) -> Path:
    """Write a store into the cache folder: whole and under its final name, or not at all."""
    cache.mkdir(parents=True, exist_ok=True)
    handle, temporary = tempfile.mkstemp(".tmp", "rulebase-", cache)
    os.close(handle)
    try:
        connection = sqlite3.connect(temporary)
        try:
            connection.execute("pragma journal_mode = off")
            _compile(knowledge, connection)
        finally:
            connection.close()
        with open(temporary, "rb+") as file:
            os.fsync(file.fileno())
        path = cache / f"rulebase-{digest}-{_checksum(Path(temporary))}.db"
        os.replace(temporary, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(temporary)
        raise
    return path


def _compile(knowledge: Knowledge, connection: sqlite3.Connection) -> None:
    import sqlite_utils  # late: it takes a tenth of a second to import

    from askcode.rulebase.search import Index

    database = sqlite_utils.Database(connection)
    index = Index(knowledge)
    rows = [
        {"kind": kind, "name": name, "place": place, "json": msgspec.json.encode(thing)}
        for place, (kind, name, thing) in enumerate((*_things(knowledge), *_indexed(index, knowledge)))
    ]
    known = database.table("known")
    known.create({"kind": str, "name": str, "place": int, "json": bytes}, pk=("kind", "name"))
    known.insert_all(rows)
    database.execute("create virtual table phrases using fts5(entry unindexed, text, tokenize = 'porter unicode61')")
    database.conn.executemany("insert into phrases values (?, ?)", index.texts)
    database.execute("insert into phrases (phrases) values ('optimize')")
    database.execute(f"pragma user_version = {SCHEMA}")
    connection.commit()


def _things(knowledge: Knowledge) -> Iterator[tuple[str, str, object]]:
    for kind in ("inputs", "factors", "conventions", "cautions", "rules", "goals", "outside", "tables", "vocabulary"):
        for name, thing in getattr(knowledge, kind).items():
            yield kind, name, thing
    yield "problems", "all", knowledge.problems


def _indexed(index: Index, knowledge: Knowledge) -> Iterator[tuple[str, str, object]]:
    yield "search", "counts", {**index.counts, "": len(index.texts)}
    yield "search", "synonyms", knowledge.synonyms
    yield "search", "fillers", index.fillers
    for entry, asked in index.asked.items():
        yield "asked", entry, asked


# --- which store ----------------------------------------------------------------------------------------------------
def _sources(folder: Path, overlay: Path | None) -> list[tuple[str, Path]]:
    """Everything that decides what the store holds: the knowledge, the amendments, and the code that compiles them."""
    from askcode.rulebase.layers import knowledge_files

    code = sorted(Path(__file__).resolve().parent.glob("*.py"))
    return [
        *((f"code/{path.name}", path) for path in code),
        *((f"knowledge/{path.relative_to(folder)}", path) for path in knowledge_files(folder)),
        *((f"overlay/{path.parent.name}/{path.name}", path) for path in (knowledge_files(overlay) if overlay else ())),
    ]


def _fingerprint(files: list[tuple[str, Path]]) -> str:
    """A quick sign of the files: names, times and sizes, without reading them."""
    sign = hashlib.blake2b(digest_size=8)
    for _, path in files:
        with suppress(OSError):
            status = path.stat()
            sign.update(f"{path}\0{status.st_mtime_ns}\0{status.st_size}\0".encode("utf-8", "surrogateescape"))
    return sign.hexdigest()


def _content_hash(files: list[tuple[str, Path]]) -> str:
    sign = hashlib.blake2b(digest_size=8)
    for name, path in files:
        with suppress(OSError):
            content = path.read_bytes()
            sign.update(f"{name}\0{len(content)}\0".encode("utf-8", "surrogateescape") + content)
    return sign.hexdigest()


def _point(pointer: Path, name: str) -> None:
    """Note which store belongs to a fingerprint. Nothing is lost where it cannot be written."""
    temporary = pointer.with_suffix(f".{os.getpid()}.tmp")
    with suppress(OSError):
        temporary.write_text(name, encoding="utf-8")
        os.replace(temporary, pointer)


def _sweep(cache: Path, keep: set[str]) -> None:
    """Remove what killed runs left behind, stores of other knowledge but the newest few, and pointers to none."""
    dated = _attempt(lambda: sorted(((path.stat().st_mtime, path) for path in cache.iterdir()), reverse=True)) or []
    stores = [path for _, path in dated if path.suffix == ".db"]
    kept = keep | {path.name for path in stores[:KEPT_STORES]}
    for changed, path in dated:
        with suppress(OSError):
            stale = path.suffix == ".tmp" and time.time() - changed > STALE_TEMP
            other = path.suffix == ".db" and path.name not in kept
            loose = path.suffix == ".seen" and path.name not in keep and path.read_text("utf-8").strip() not in kept
            if stale or other or loose:
                path.unlink()
