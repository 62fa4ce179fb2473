"""What is shipped: the wheel holds all that is needed and nothing else, and answers from an empty environment."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf8"))["project"]
QUESTION = "2 hp 120 V single phase copper 75 C"


def run(*command, **options):
    done = subprocess.run([str(part) for part in command], capture_output=True, text=True, timeout=900, **options)
    assert done.returncode == 0, f"{done.stdout[-2000:]}\n{done.stderr[-2000:]}"
    return done.stdout


def test_the_version_is_the_same_in_both_places():
    import askcode

    assert askcode.__version__ == PROJECT["version"]


def test_the_public_face_answers_again_and_again():
    code = f"import askcode; askcode.ask({QUESTION!r}); print(askcode.ask({QUESTION!r}, edition='2020').edition)"
    assert run(sys.executable, "-c", code, cwd=ROOT).strip() == "2020"


def test_the_lock_knows_every_dependency_and_no_odd_places():
    text = (ROOT / "uv.lock").read_text("utf8")
    locked = {package["name"] for package in tomllib.loads(text)["package"]}
    wanted = [*PROJECT["dependencies"], *(d for extra in PROJECT["optional-dependencies"].values() for d in extra)]
    names = {re.match(r"[\w.-]+", line)[0].lower().replace("_", "-") for line in wanted}
    assert names <= locked
    assert set(re.findall(r'"\w+://([^/"]+)', text)) <= {"pypi.org", "files.pythonhosted.org"}


def commands_of_the_readme():
    blocks = re.findall(r"```sh\n(.*?)```", (ROOT / "README.md").read_text("utf8"), re.S)
    return [" ".join(block.split()) for block in blocks if "venv" in block]


def test_the_readme_has_two_commands_that_set_everything_up():
    ask, test = commands_of_the_readme()
    assert ask.startswith("python3 -m venv ") and ask.endswith(f'askcode "{QUESTION}"')
    assert test.startswith("python3 -m venv ") and "'.[dev]'" in test and test.endswith("pytest")


def test_the_readme_says_what_it_is_not():
    text = (ROOT / "README.md").read_text("utf8").lower()
    for words in ("not the code", "not affiliated", "inspector", "local amendments", "licensed electrician"):
        assert words in text


def test_the_readme_shows_a_real_reply():
    """Word for word; when a reply changes for good reason, paste the new one."""
    from askcode.asker import ask
    from askcode.render.text import as_text

    text = (ROOT / "README.md").read_text("utf8")
    question, shown = re.search(r"```text\n\$ askcode (.*?)\n\n(.*?)\n```", text, re.S).groups()
    assert shown == as_text(ask(question), 76).rstrip()


@pytest.fixture(scope="module")
def wheel(tmp_path_factory):
    folder = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", folder, ROOT)
    return next(folder.glob("*.whl"))


@pytest.mark.slow
def test_the_wheel_holds_the_packages_and_the_knowledge_and_nothing_else(wheel):
    names = zipfile.ZipFile(wheel).namelist()
    tops = {name.split("/")[0] for name in names}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"askcode", "parsers"}
    for folder in ("askcode", "parsers", "knowledge"):
        inside = "askcode/knowledge" if folder == "knowledge" else folder
        for path in (ROOT / folder).rglob("*"):
            if path.is_file() and path.suffix in (".py", ".yaml", ".csv", ".typed"):
                assert f"{inside}/{path.relative_to(ROOT / folder)}" in names
    assert "askcode/py.typed" in names and "parsers/py.typed" in names


@pytest.mark.slow
def test_the_wheel_answers_from_an_empty_environment(wheel, tmp_path):
    """In a folder that has a knowledge folder of its own, which must not be read."""
    run(sys.executable, "-m", "venv", tmp_path / "venv")
    python = tmp_path / "venv" / "bin" / "python"
    run(python, "-m", "pip", "install", "-q", wheel)
    (tmp_path / "knowledge" / "rules").mkdir(parents=True)
    (tmp_path / "knowledge" / "rules" / "trap.yaml").write_text("not: [valid")
    askcode = python.with_name("askcode")
    assert "10 AWG" in run(askcode, QUESTION, cwd=tmp_path).splitlines()[0]
    assert run(askcode, "--version", cwd=tmp_path).strip() == f"askcode {PROJECT['version']}"
    assert "answered" in run(python, "-c", f"import askcode; print(askcode.ask({QUESTION!r}).status)", cwd=tmp_path)
