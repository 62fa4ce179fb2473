"""The `askcode` command: the way in. Nothing heavy is imported before it is known to be needed."""

from __future__ import annotations

import gc
import os
import sys
from typing import NoReturn

BROKEN, INTERRUPTED = 1, 130


def start() -> NoReturn:
    """The installed command. One question is a short life: collecting garbage while everything is loaded, and taking
    it all apart at the end, would cost a fifth of it. Frontends that live on turn the collector on again."""
    gc.disable()
    code = main()
    if sys.stderr is not None:
        sys.stderr.flush()
    os._exit(code)


def stay() -> None:
    """Before a long life: what is loaded by now stays, and only what comes later is looked through for garbage."""
    gc.freeze()
    gc.enable()


def main(args: list[str] | None = None) -> int:
    """Run the command and return its exit code; whatever happens, no traceback reaches the user."""
    args = sys.argv[1:] if args is None else args
    try:
        if args == ["--version"]:  # the commonest question of scripts: answered before anything else is imported
            from askcode import __version__

            _write(f"askcode {__version__}\n")
            return 0
        from askcode.frontends.commands import run

        return run(args)
    except KeyboardInterrupt:
        _complain("stopped")
        return INTERRUPTED
    except BrokenPipeError:
        return _let_go()
    except Exception as error:
        if os.environ.get("ASKCODE_DEBUG"):
            raise
        _complain(f"something went wrong inside ({type(error).__name__}); please report it with what you typed "
                  "(ASKCODE_DEBUG=1 shows where)")
        return BROKEN
    finally:
        _flush()


def _write(text: str) -> None:
    if sys.stdout is not None:
        sys.stdout.write(text)


def _complain(words: str) -> None:
    """One line on standard error, if there is one."""
    try:
        if sys.stderr is not None:
            sys.stderr.write(f"askcode: {words}\n")
    except (OSError, ValueError):
        pass


def _flush() -> None:
    """Write out what is left now, where a reader that went away can still be met without a word."""
    try:
        if sys.stdout is not None:
            sys.stdout.flush()
    except (BrokenPipeError, ValueError):
        _let_go()
    except OSError as error:  # a full disk: the one case in which silence would look like success
        _let_go()
        _complain(f"could not write the answer ({error.strerror})")


def _let_go() -> int:
    """The reader went away (`| head`): point standard output nowhere, so that the interpreter's own last flush is
    silent too."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
    except (OSError, ValueError, AttributeError):
        pass
    return BROKEN


if __name__ == "__main__":
    start()
