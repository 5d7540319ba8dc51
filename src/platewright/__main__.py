"""Run the command line: `python -m platewright`."""

from __future__ import annotations


def main() -> None:
    """Start the command line; the console script and `-m` share this door."""
    import gc

    from platewright.cli.root import root

    # a call is short and makes few cycles: looking for them often costs a tenth of it
    gc.set_threshold(50_000, 50, 50)
    root(prog_name="platewright")


if __name__ == "__main__":
    main()
