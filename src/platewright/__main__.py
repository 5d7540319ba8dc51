"""Run the command line: `python -m platewright`."""

from __future__ import annotations


def main() -> None:
    """Start the command line; the console script and `-m` share this door."""
    from platewright.cli.root import root

    root(prog_name="platewright")


if __name__ == "__main__":
    main()
