"""Typed questions about the electrical code, answered by rules. `ask` and `Reply` are the whole public face."""

from __future__ import annotations

from typing import Any

__version__ = "0.1.0"
__all__ = ["Reply", "__version__", "ask"]


def __getattr__(name: str) -> Any:
    """`ask` and `Reply` are loaded when they are wanted, so that `--version` costs nothing."""
    if name == "ask":
        from askcode.asker import ask

        return ask
    if name == "Reply":
        from askcode.core.replies import Reply

        return Reply
    raise AttributeError(name)
