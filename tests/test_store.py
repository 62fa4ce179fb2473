"""The compiled store: built once, found again, never torn, never trusted when damaged, not needed on disk at all."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from askcode.rulebase import store as stores
from askcode.rulebase.store import Store, cache_folder, open_file

RULE = """\
{name}:
  section: "{section}"
  title: Spacing of rods
  force: requirement
  answer: "Keep them {{least}} apart."
  says: Rods stand apart.
  values: {{least: "{least}"}}
  asked_as: ["how far apart are ground rods"]
  sure: from-memory
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    root = tmp_path / "know ledge #1?%41"  # a path with all that a URI would misread
    (root / "rules").mkdir(parents=True)
    write(root, "6 ft")
    return root


@pytest.fixture
def cache(tmp_path: Path) -> Path:
    return tmp_path / "cache #1?%41"


def write(folder: Path, least: str) -> None:
    (folder / "rules" / "250.yaml").write_text(RULE.format(name="rods", section="250.53", least=least))


def stored(cache: Path) -> list[Path]:
    return sorted(cache.glob("*.db"))


def least(store: Store) -> bool:
    return b'"6 ft"' in (store.get("rules", "rods") or b"")


@pytest.fixture
def no_yaml(monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """After it is called, whatever would build a store fails: only a store that is there already will do."""

    def forbid() -> None:
        monkeypatch.setattr(Store, "_knowledge", lambda self: pytest.fail("the store was built again"))

    return forbid


# --- built once, found again ----------------------------------------------------------------------------------------
def test_a_store_is_built_once_and_found_again(folder: Path, cache: Path, no_yaml: Callable[[], None]) -> None:
    assert least(Store(folder, cache=cache))
    no_yaml()
    assert least(Store(folder, cache=cache))
    assert len(stored(cache)) == 1
    assert not list(cache.glob("*.tmp"))


def test_a_touched_file_is_not_a_changed_one(folder: Path, cache: Path, no_yaml: Callable[[], None]) -> None:
    Store(folder, cache=cache)
    os.utime(folder / "rules" / "250.yaml", (1, 1))
    no_yaml()
    assert least(Store(folder, cache=cache))


def test_a_changed_file_is_read_again(folder: Path, cache: Path) -> None:
    Store(folder, cache=cache)
    write(folder, "7 ft")
    assert not least(Store(folder, cache=cache))
    assert len(stored(cache)) == 2


def test_a_file_that_is_gone_or_new_is_seen(folder: Path, cache: Path) -> None:
    Store(folder, cache=cache)
    extra = folder / "rules" / "260.yaml"
    extra.write_text(RULE.format(name="more", section="260", least="1 ft"))
    assert Store(folder, cache=cache).get("rules", "more")
    extra.unlink()
    assert Store(folder, cache=cache).get("rules", "more") is None


def test_a_store_is_only_read(folder: Path, cache: Path) -> None:
    Store(folder, cache=cache)
    before = stored(cache)[0].read_bytes()
    store = Store(folder, cache=cache)
    with pytest.raises(sqlite3.OperationalError, match="readonly"):
        store.connection.execute("delete from known")
    assert stored(cache)[0].read_bytes() == before


def test_an_open_store_outlives_a_rebuild(folder: Path, cache: Path) -> None:
    store = Store(folder, cache=cache)
    stored(cache)[0].unlink()
    Store(folder, cache=cache)
    assert least(store)


def test_a_found_store_needs_neither_yaml_nor_its_builder(folder: Path, cache: Path) -> None:
    code = (
        "import sys, pathlib; from askcode.rulebase.book import Book;"
        f"book = Book.open(folder=pathlib.Path({str(folder)!r}));"
        "book.entry('rods'), book.search(['rods', 'apart']);"
        "print([m for m in ('yaml', 'sqlite_utils', 'numpy', 'spacy', 'csv') if m in sys.modules])"
    )
    environment = {**os.environ, "ASKCODE_CACHE": str(cache)}
    root = Path(__file__).resolve().parent.parent

    def run() -> str:
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=root, env=environment)
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()

    assert "yaml" in run()
    assert run() == "[]"


# --- damaged --------------------------------------------------------------------------------------------------------
def flipped(content: bytes) -> bytes:
    middle = len(content) // 2
    return content[:middle] + bytes([content[middle] ^ 1]) + content[middle + 1 :]


@pytest.mark.parametrize(
    "damage",
    [
        lambda content: b"garbage" * 500,
        lambda content: content[: len(content) // 2],
        lambda content: content[:-1],
        lambda content: b"",
        flipped,
    ],
    ids=["garbage", "half", "one byte short", "empty", "one bit"],
)
def test_a_damaged_store_is_built_again(folder: Path, cache: Path, damage: Callable[[bytes], bytes]) -> None:
    Store(folder, cache=cache)
    path = stored(cache)[0]
    path.write_bytes(damage(path.read_bytes()))
    assert least(Store(folder, cache=cache))
    for left in stored(cache):
        if left.stat().st_size:
            open_file(left)  # what is left there is whole


@pytest.mark.parametrize("content", ["", "nosuch.db", "../../etc/passwd", "\0", "x" * 5000, "."])
def test_a_damaged_pointer_is_only_a_detour(folder: Path, cache: Path, content: str) -> None:
    Store(folder, cache=cache)
    pointer = next(cache.glob("*.seen"))
    pointer.write_text(content)
    assert least(Store(folder, cache=cache))
    assert next(cache.glob("*.seen")).read_text() == stored(cache)[0].name


def test_another_layout_is_not_opened(folder: Path, cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    Store(folder, cache=cache)
    monkeypatch.setattr(stores, "SCHEMA", stores.SCHEMA + 1)
    with pytest.raises(ValueError, match="another layout"):
        open_file(stored(cache)[0])
    assert least(Store(folder, cache=cache))


def test_damage_that_a_read_meets_is_mended_in_memory(folder: Path, cache: Path) -> None:
    store = Store(folder, cache=cache)

    class Broken:
        def execute(self, *_: object) -> None:
            raise sqlite3.DatabaseError("database disk image is malformed")

        def close(self) -> None:
            pass

    store.connection = Broken()  # type: ignore[assignment]
    assert least(store)


# --- no usable cache ------------------------------------------------------------------------------------------------
def test_a_cache_that_is_a_file(folder: Path, tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("in the way")
    assert least(Store(folder, cache=tmp_path / "cache"))
    assert (tmp_path / "cache").read_text() == "in the way"


def test_no_cache_at_all(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(stores, "cache_folder", lambda: None)
    assert least(Store(folder))


def test_home_is_unset(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("ASKCODE_CACHE", "HOME", "XDG_CACHE_HOME", "USERPROFILE"):
        monkeypatch.delenv(name, raising=False)
    found = cache_folder()
    assert found is None or found.is_absolute()


def test_a_home_that_nobody_knows_makes_no_folder_named_tilde(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("ASKCODE_CACHE", raising=False)
    monkeypatch.delenv("XDG_CACHE_HOME", raising=False)
    monkeypatch.setattr(os.path, "expanduser", lambda path: path)
    assert cache_folder() is None


@pytest.mark.parametrize("call", ["mkdir", "mkstemp", "connect", "fsync", "replace"])
def test_any_call_that_fails_leaves_the_old_or_nothing(
    folder: Path, cache: Path, monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as broken:
        if call == "mkdir":
            broken.setattr(Path, "mkdir", fail)
        elif call == "mkstemp":
            broken.setattr(stores.tempfile, "mkstemp", fail)
        elif call == "connect":
            real = sqlite3.connect

            def only_memory(path: object, *args: object, **more: object) -> sqlite3.Connection:
                if path != ":memory:":
                    raise sqlite3.OperationalError("unable to open database file")
                return real(path, *args, **more)  # type: ignore[call-overload,no-any-return]

            broken.setattr(stores.sqlite3, "connect", only_memory)
        else:
            broken.setattr(stores.os, call, fail)
        assert least(Store(folder, cache=cache))
    assert not list(cache.glob("*.tmp"))
    assert stored(cache) == []
    assert least(Store(folder, cache=cache))


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="the superuser may write anywhere")
def test_a_read_only_disk(folder: Path, tmp_path: Path) -> None:
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o500)
    assert least(Store(folder, cache=closed / "askcode"))


# --- several at once, and what is left behind -----------------------------------------------------------------------
def test_many_processes_at_once(folder: Path, cache: Path) -> None:
    code = (
        "import sys, pathlib; from askcode.rulebase.store import Store;"
        f"print(Store(pathlib.Path({str(folder)!r})).get('rules', 'rods') is not None)"
    )
    environment = {**os.environ, "ASKCODE_CACHE": str(cache)}
    root = Path(__file__).resolve().parent.parent
    running = [
        subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True, cwd=root, env=environment)
        for _ in range(6)
    ]
    assert [process.communicate(timeout=60)[0].strip() for process in running] == ["True"] * 6
    for path in stored(cache):
        open_file(path)
    assert not list(cache.glob("*.tmp"))


def test_several_threads_read_one_store(folder: Path, cache: Path) -> None:
    store = Store(folder, cache=cache)
    with ThreadPoolExecutor(8) as threads:
        assert all(threads.map(lambda _: least(store), range(200)))


def test_only_the_newest_stores_are_kept(folder: Path, cache: Path) -> None:
    for feet in range(1, 9):
        write(folder, f"{feet} ft")
        Store(folder, cache=cache)
    assert len(stored(cache)) == stores.KEPT_STORES
    assert {pointer.read_text() for pointer in cache.glob("*.seen")} == {path.name for path in stored(cache)}


def test_what_a_killed_run_left_is_swept(folder: Path, cache: Path) -> None:
    cache.mkdir()
    old, fresh, other = cache / "rulebase-old.tmp", cache / "rulebase-fresh.tmp", cache / "notes.txt"
    for path in (old, fresh, other):
        path.write_text("x")
    month_ago = time.time() - 40 * 86400
    os.utime(old, (month_ago, month_ago))
    os.utime(other, (month_ago, month_ago))
    Store(folder, cache=cache)
    assert not old.exists()
    assert fresh.exists(), "another process may be writing it"
    assert other.exists(), "it is not ours"


def test_a_folder_without_knowledge_is_an_empty_book(tmp_path: Path, cache: Path) -> None:
    from askcode.rulebase.book import Book

    book = Book(Store(tmp_path, cache=cache), "2023")
    assert book.entries() == []
    assert book.search(["ground", "rod"]) == []
