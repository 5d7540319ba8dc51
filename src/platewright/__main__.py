"""Run the command line: `python -m platewright`."""

from __future__ import annotations


def main() -> None:
    """Start the command line; the console script and `-m` share this door."""
    import contextlib
    import gc
    import sys

    # a call is short and makes few cycles: looking for them often costs a tenth of it
    gc.set_threshold(200_000, 50, 50)

    import click

    from platewright.cli.root import root

    try:
        root(prog_name="platewright")
    except OSError as error:  # the screen, or the file that stands for it, takes no more
        reason = (error.strerror or str(error)).lower()
        with contextlib.suppress(OSError):  # where errors go may be as full
            click.echo(f"platewright: cannot print: {reason}", err=True)
        sys.exit(2)
    finally:
        gc.freeze()  # the end looks for cycles once more, and nobody needs the room then


if __name__ == "__main__":
    main()
