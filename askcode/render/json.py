"""A reply in the batch format, as JSON on one line."""

from __future__ import annotations

from typing import Any

import msgspec

from askcode.core.replies import Reply
from askcode.render.clean import printable


def encode(data: Any) -> bytes:
    """Any plain data as one line of JSON (UTF-8, no newline at the end)."""
    try:
        return msgspec.json.encode(data)
    except UnicodeEncodeError:  # a lone surrogate, which no encoder takes
        return msgspec.json.encode(_clean(data))


def as_json(reply: Reply) -> bytes:
    """The reply, every key of the format present."""
    return encode(reply.as_dict())


def _clean(data: Any) -> Any:
    if isinstance(data, str):
        return printable(data)
    if isinstance(data, dict):
        return {_clean(key): _clean(value) for key, value in data.items()}
    if isinstance(data, list):
        return [_clean(value) for value in data]
    return data
