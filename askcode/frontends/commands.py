"""The command line behind the way in: one question, a chat, a batch of conversations, or a look over the knowledge."""

from __future__ import annotations

import codecs
import sys
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

import click

from askcode.frontends.cli import stay
from askcode.render.clean import one_line, printable

if TYPE_CHECKING:
    from askcode.asker import Asker
    from askcode.core.replies import Reply

EXIT = {"answered": 0, "incomplete": 3, "ambiguous": 4, "outside": 5}
BAD_LINES, BAD_KNOWLEDGE, USAGE = 1, 1, 2
MOST_READ = 1_000_000  # characters taken from a pipe; a question that long is refused anyway, with the limit named
PLAIN = {"×": "x", "÷": "/", "·": "|", "°": "deg ", "→": "->", "Ω": "ohm", "≥": ">=", "≤": "<=", "…": "...", "½": "1/2",
         "¼": "1/4", "¾": "3/4", "–": "-", "—": "-", "‘": "'", "’": "'", "“": '"', "”": '"', "Ø": "ph", "²": "2"}

HELP = """Answer a typed question about the electrical code, with numbered steps and references.

\b
askcode "2 hp 120 V single phase copper 75 C"   one question (quotes may be left out)
askcode                                         a conversation, where follow-ups carry on
echo "..." | askcode                            one question from a pipe
askcode batch FILE                              JSON lines in, JSON lines out (FILE may be -)
askcode check                                   look the knowledge over

Exit codes: 0 answered, 3 something is missing, 4 more than one reading, 5 not covered, 2 wrong use. For a batch 0 if
every line was good, else 1.
"""


def run(args: list[str]) -> int:
    """Run the command line; the exit code says how it went."""
    _speak_plainly()
    try:
        code = command.main(args=["--help"] if args == ["-h"] else args, prog_name="askcode", standalone_mode=False,
                            obj="--" in args)
    except click.exceptions.Exit as error:
        return error.exit_code
    except click.Abort:
        raise KeyboardInterrupt from None
    except click.ClickException as error:
        click.echo(f"askcode: {one_line(error.format_message())} (askcode --help tells more)", err=True)
        return USAGE
    return int(code or 0)


def make_asker(edition: str | None, amendments: Path | None = None, by_file: bool = True) -> Asker:
    """The one road of a question; imported here, when it is known that there is a question. The settings file counts,
    unless a batch has to give the same replies everywhere. Raises UsageError for amendments that do not hold."""
    from askcode.asker import Asker
    from askcode.frontends import settings_file
    from askcode.rulebase.text_yaml import KnowledgeError

    kept = settings_file.load(settings_file.place() if by_file else None)
    for line in kept.problems:
        click.echo(f"askcode: {one_line(line)}", err=True)
    asker = Asker(edition, amendments or kept.amendments, kept.settings)
    if asker.amendments is not None:
        try:
            asker.book()
        except KnowledgeError as error:
            raise click.UsageError(f"amendments: {error}") from None
    return asker


def _edition(context: click.Context, option: click.Parameter, value: str | None) -> str | None:
    if value is None:
        return None
    from askcode.rulebase.schemas import EDITIONS

    if value not in EDITIONS:
        raise click.BadParameter(f"there is {', '.join(EDITIONS)}", context, option)
    return value


def _version(context: click.Context, option: click.Parameter, value: bool) -> None:
    if value and not context.resilient_parsing:
        from askcode import __version__

        click.echo(f"askcode {__version__}")
        context.exit()


# What looks like an option and is none may be part of a question ("-20 C"), so it is looked at in the command itself.
@click.command(help=HELP, context_settings={"ignore_unknown_options": True, "max_content_width": 100})
@click.argument("words", nargs=-1, metavar="[QUESTION...]")
@click.option("--edition", metavar="YEAR", callback=_edition, help="Edition of the code: 2017, 2020, 2023 or 2026.")
@click.option("--amendments", metavar="FOLDER", type=click.Path(path_type=Path), help="Local amendments over the code.")
@click.option("--json", "as_json", is_flag=True, help="Write the reply as one line of JSON.")
@click.option("--width", type=click.IntRange(20, 400), help="Columns to write in (otherwise the screen's).")
@click.option("--explain", is_flag=True, help="Show how the question was read and what it was weighed as.")
@click.option("--version", is_flag=True, callback=_version, expose_value=False, is_eager=True, help="Show the version.")
@click.pass_obj
def command(
    as_typed: bool,
    words: tuple[str, ...],
    edition: str | None,
    amendments: Path | None,
    as_json: bool,
    width: int | None,
    explain: bool,
) -> int:
    for word in words:  # after a bare `--` everything is a word
        if not as_typed and word.startswith("--") and len(word) > 2 and " " not in word:
            raise click.UsageError(f"there is no option {one_line(word)[:40]}")
    if words == ("check",):
        return check()
    if words and words[0] == "batch" and len(words) <= 2:
        return batch(words[1] if len(words) == 2 else None, edition, amendments)
    if words and explain:
        lines = make_asker(edition, amendments).conversation().explain(printable(" ".join(words)).strip())
        click.echo("\n".join(one_line(line) for line in lines))
        return 0
    if words:
        return one_question(" ".join(words), make_asker(edition, amendments), as_json, width)
    if sys.stdin is None or sys.stdin.closed:
        raise click.UsageError("no question")
    if sys.stdin.isatty():
        from askcode.frontends.chat import chat

        return chat(make_asker(edition, amendments), width)
    question = _piped()
    if not question.strip():
        raise click.UsageError("no question came through the pipe")
    return one_question(question, make_asker(edition, amendments), as_json, width)


def one_question(question: str, asker: Asker, as_json: bool, width: int | None) -> int:
    """Ask once and show the reply; the exit code tells its status."""
    from askcode.frontends.settings_file import keep

    conversation = asker.conversation()
    reply = conversation.say(printable(question).strip())
    if wrong := keep(asker, conversation):
        click.echo(f"askcode: {one_line(wrong)}", err=True)
    tell(reply, as_json, width)
    return EXIT[reply.status]


def tell(reply: Reply, as_json: bool, width: int | None) -> None:
    """The reply on standard output."""
    if sys.stdout is None:
        return
    if as_json:
        from askcode.render.json import as_json as encoded

        sys.stdout.write(encoded(reply).decode() + "\n")
    else:
        from askcode.render.text import console_for, show

        show(reply, console_for(width=width))


def batch(name: str | None, edition: str | None, amendments: Path | None = None) -> int:
    """Conversations from a file or standard input, answered line by line."""
    from askcode.frontends.batch import answer_lines
    from askcode.rulebase.schemas import EDITIONS

    if name is None:
        raise click.UsageError("batch wants a FILE of JSON lines, or - for standard input")
    out: Any = getattr(sys.stdout, "buffer", None)
    if out is None:
        raise click.UsageError("there is nowhere to write the replies to")
    with _lines(name) as lines:
        asker = make_asker(edition, amendments, by_file=False)
        asker.warm()
        stay()
        errors = sys.stderr
        progress = errors is not None and errors.isatty() and not sys.stdout.isatty()
        bad = answer_lines(lines, out, asker, EDITIONS, errors, progress=progress)
    return BAD_LINES if bad else 0


def _lines(name: str) -> AbstractContextManager[IO[bytes]]:
    """The file of that name, or standard input, which is not ours to close."""
    if name == "-":
        if sys.stdin is None or sys.stdin.closed:
            raise click.UsageError("there is no standard input")
        return nullcontext(sys.stdin.buffer)
    try:
        return open(name, "rb")
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else "not a file name"
        raise click.UsageError(f"cannot read {one_line(name)}: {reason}") from None


def check() -> int:
    """Look the knowledge over: what does not hold, what to weigh, how much is checked."""
    from askcode.calculators import subjects
    from askcode.rulebase.check import check as look_over

    report = look_over(subjects=subjects().values())
    for line in [*report.summary, *(f"weigh: {line}" for line in report.warnings)]:
        click.echo(one_line(line))
    for line in report.problems:
        click.echo(one_line(line), err=True)
    return BAD_KNOWLEDGE if report.problems else 0


def _piped() -> str:
    """Everything that the pipe holds is one question, so that a question with its options can be piped as it is."""
    source: Any = getattr(sys.stdin, "buffer", sys.stdin)
    data = source.read(MOST_READ)
    return data.decode("utf-8", "replace") if isinstance(data, bytes) else str(data)


def _speak_plainly() -> None:
    """Where the terminal's encoding lacks a sign, write the nearest plain one instead of failing."""

    def nearest(error: UnicodeError) -> tuple[str | bytes, int]:
        if not isinstance(error, UnicodeEncodeError):
            raise error
        return "".join(PLAIN.get(sign, "?") for sign in error.object[error.start:error.end]), error.end

    codecs.register_error("plainly", nearest)
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="plainly")
