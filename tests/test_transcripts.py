"""The demo transcripts are the tour, the promise and the test at once."""

import pytest

from askcode.asker import Asker
from tests.transcripts import files, play, turns


@pytest.fixture(scope="module")
def asker():
    return Asker()


@pytest.mark.parametrize("file", files(), ids=lambda f: f.stem)
def test_comes_back_as_promised(file, asker):
    text = file.read_text(encoding="utf-8")
    assert play(text, asker) == text, (
        "read the difference as a customer would, then: python -m tests.transcripts --write"
    )


def test_a_turn_may_have_several_lines():
    assert turns("intro\n> a\n> b\n\nanswer\n> c\n") == ("intro", ["a\nb", "c"])
