"""``python -m scriptkit`` is the same as the installed command."""

from scriptkit.cli import supervised_main

supervised_main()
