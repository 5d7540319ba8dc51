"""The command line's root: every command is loaded only when it is called."""

from __future__ import annotations

from importlib import import_module

import click

#: Command name -> (module, attribute, the line that the overview shows).
_COMMANDS = {
    "kinds": ("kinds", "kinds", "List the kinds of bracket, each with a sentence."),
    "start": ("start", "start", "Write a commented bracket file to fill in."),
    "form": ("form", "form", "Write a measuring form (PDF) to take out to the vehicle."),
    "travel": ("travel", "travel", "Work out stroke, laid-out height and linkage travel."),
    "check": ("check", "check", "List what is wrong or risky about brackets, worst first."),
    "make": ("make", "make", "Make template, DXF and check sheet from bracket files."),
    "coupon": (
        "coupon",
        "coupon",
        "Make trial pieces for kerf, bend, printer; tell what they read.",
    ),
    "readings": ("readings", "readings", "Tell what tape readings of a made part mean."),
    "compare": ("compare", "compare", "Tell what changed between two bracket files."),
    "open": ("open", "open_page", "Open the page of a folder of files in the browser."),
    "nest": ("nest", "nest", "Lay parts on sheets and remnants: DXF and picture per sheet."),
}


class _Lazy(click.Group):
    """A group that imports a command's module when the command is called, not before."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return list(_COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        if cmd_name not in _COMMANDS:
            return None
        module, attribute, _ = _COMMANDS[cmd_name]
        found = getattr(import_module(f"platewright.cli.{module}"), attribute)
        assert isinstance(found, click.Command)
        return found

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that is called, or the name that may have been meant."""
        if args and args[0] not in _COMMANDS and not args[0].startswith("-"):
            from difflib import get_close_matches

            near = get_close_matches(args[0].lower(), _COMMANDS, n=1)
            hint = f" Did you mean {near[0]}?" if near else ""
            ctx.fail(f"no command is called {args[0]!r}.{hint}")
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, _, line) in _COMMANDS.items()])


@click.command(
    cls=_Lazy,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
    epilog="Cutting, welding and pressurised springs can injure. Every figure printed here is an "
    "aid to your own judgement, never an approval; local codes and licensed practice decide.",
)
@click.version_option(package_name="platewright")
def root() -> None:
    """Bent-plate brackets from shop measurements.

    A short file of tape measurements goes in; a full-scale paper template, a DXF for the
    cutting table and a tape-measure check sheet come out.
    """
