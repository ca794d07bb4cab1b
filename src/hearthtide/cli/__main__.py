"""`python -m hearthtide.cli`: the same as the `hearthtide` command."""

from hearthtide.cli.main import run

run()
