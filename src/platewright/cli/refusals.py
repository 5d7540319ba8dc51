"""How a command says no: a plain message on standard error and exit code 2, never a traceback."""

from __future__ import annotations

import functools
import os
from collections.abc import Callable
from typing import NoReturn, ParamSpec, TypeVar

import click

from platewright.errors import BuildError, FileError, PlatewrightError

P = ParamSpec("P")
R = TypeVar("R")

#: Exit codes: a finding that must be changed, a bad file or refused output, a defect of ours.
EXIT_CHANGE = 1
EXIT_REFUSED = 2
EXIT_DEFECT = 70


def refusing(command: Callable[P, R]) -> Callable[P, R]:
    """Wrap a command so that whatever it refuses reaches the user as words."""

    @functools.wraps(command)
    def wrapped(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return command(*args, **kwargs)
        except PlatewrightError as error:
            click.echo(refusal_words(error), err=True)
            raise SystemExit(EXIT_REFUSED) from None
        except (click.ClickException, click.Abort, click.exceptions.Exit):
            raise
        except OSError as error:
            _require_working_folder()
            if error.filename is not None:
                _own_up(error)
            raise  # what cannot be printed is no file's fault: the program's door tells of it
        except Exception as error:
            _own_up(error)

    return wrapped


def _require_working_folder() -> None:
    """The folder one stands in may have been deleted, which some libraries cannot bear."""
    try:
        os.getcwd()
    except OSError:
        click.echo(
            "the folder that you are in is no longer there; nothing was written. Change to another "
            "and call again",
            err=True,
        )
        raise SystemExit(EXIT_REFUSED) from None


def _own_up(error: Exception) -> NoReturn:
    click.echo(
        "platewright: this should not have happened, and nothing was written: "
        f"{type(error).__name__}: {error}\nPlease report it with the file that caused it.",
        err=True,
    )
    raise SystemExit(EXIT_DEFECT) from None


def refusal_words(error: PlatewrightError) -> str:
    """The message for one refusal; a file's mistakes come one a line.

    A file's name may hold what a screen takes for an order: it is spelled out.
    """
    from platewright.files.given import printable

    if isinstance(error, FileError):
        count = len(error.mistakes)
        tail = "1 mistake" if count == 1 else f"{count} mistakes"
        told = "\n".join(printable(str(mistake)) for mistake in error.mistakes)
        return f"{told}\n{tail}; nothing was written"
    if isinstance(error, BuildError) and error.keys:
        return printable(f"{error.message} (see {', '.join(error.keys)}); nothing was written")
    return "\n".join(map(printable, str(error).split("\n")))
