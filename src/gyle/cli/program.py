"""The program's door: whatever goes wrong leaves it as one sentence on stderr and an exit code."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from typing import cast

from gyle.errors import BadInput, GyleError

__all__ = ["main"]

OUTSIDE, REFUSED, STOPPED, NO_READER = 1, 2, 130, 141


def main(argv: Sequence[str] | None = None) -> int:
    """Run the program.

    Parameters
    ----------
    argv : sequence of str, optional
        What follows the program's name; the process's own arguments if left out.

    Returns
    -------
    int
        0; 1 if the ledger found a row outside, or the program is at fault; 2 if something was refused; 130 if
        it was interrupted; 141 if nobody reads its output any more.
    """
    if sys.stdout is None:  # closed before we began
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115
    try:
        code = _run(sys.argv[1:] if argv is None else list(argv))
        sys.stdout.flush()
    except BrokenPipeError:
        _hang_up()
        code = NO_READER
    except KeyboardInterrupt:
        _say("stopped")
        code = STOPPED
    except (GyleError, OSError) as error:
        _refuse(error)
        code = REFUSED
    except Exception as error:
        if os.environ.get("GYLE_TRACE") == "1":
            raise
        _say(f"this is a fault of gyle and not of yours ({type(error).__name__}); GYLE_TRACE=1 shows where it happened")
        code = OUTSIDE
    return code


def _refuse(error: GyleError | OSError) -> None:
    if isinstance(error, BadInput):
        for fault in error.faults:
            _say(fault)
    elif isinstance(error, OSError):
        _hang_up()
        name = f"{os.path.basename(str(error.filename))}: " if error.filename else ""
        _say(f"{name}{(error.strerror or 'the system refuses').lower()}")
    else:
        _say(str(error))


def _run(arguments: list[str]) -> int:
    import typer
    import typer.main

    from gyle.cli.commands import app

    command = typer.main.get_command(app)
    if "_GYLE_COMPLETE" in os.environ:  # a shell asks; it is answered on the spot
        command.main(args=arguments, prog_name="gyle")
    # The base of what the parser refuses has no public name of its own; the exported refusal inherits from it.
    refusal = cast("type[Exception]", typer.BadParameter.__mro__[2])
    # Not `command.main`, which has its own opinion of interruptions and closed pipes.
    try:
        with command.make_context("gyle", arguments) as context:
            return int(command.invoke(context) or 0)
    except typer.Exit as done:
        return done.exit_code
    except typer.Abort:
        raise KeyboardInterrupt from None
    except refusal as error:
        raise BadInput(_usage(error)) from None


def _usage(error: BaseException) -> str:
    """What the parser refuses, as one sentence that says where help is."""
    told = getattr(error, "format_message", lambda: str(error))()
    parts = [part.strip() for part in " ".join(told.split()).rstrip(".?").split(". ") if part.strip()]
    sentence = "; ".join(part[:1].lower() + part[1:] for part in parts)
    path = getattr(getattr(error, "ctx", None), "command_path", None) or "gyle"
    return f"{sentence}; {path} --help lists what it takes"


def _say(sentence: str) -> None:
    """Print one sentence on stderr, on one line and with nothing a terminal would obey."""
    from gyle.share.sentences import plain

    err = sys.stderr
    if err is None:
        return
    said = " ".join(plain(sentence).split())
    try:
        err.write(f"gyle: {said}\n")
    except UnicodeEncodeError:
        err.write(f"gyle: {said.encode('ascii', 'replace').decode('ascii')}\n")
    except OSError:
        pass


def _hang_up() -> None:
    """Let what is still to be printed go nowhere, so that the end of the process is quiet."""
    try:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
    except (OSError, ValueError, AttributeError):
        pass
