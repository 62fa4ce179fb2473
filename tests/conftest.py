"""What holds for every test: nobody's own settings file is read or written."""

from __future__ import annotations

import os

import pytest


@pytest.fixture(scope="session", autouse=True)
def no_settings_file(tmp_path_factory):
    """The settings file of the tests: one that is not there until a test writes it."""
    before = os.environ.get("ASKCODE_SETTINGS")
    os.environ["ASKCODE_SETTINGS"] = str(tmp_path_factory.mktemp("settings") / "settings.toml")
    yield
    if before is None:
        del os.environ["ASKCODE_SETTINGS"]
    else:
        os.environ["ASKCODE_SETTINGS"] = before
