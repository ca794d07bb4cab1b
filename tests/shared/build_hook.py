"""The build hook as a module, without the build's own library, which only a build has."""

from __future__ import annotations

import importlib.util
import sys
import types
from pathlib import Path

ROOT = Path(__file__).parents[2]
INTERFACE = "hatchling.builders.hooks.plugin.interface"


def build_hook() -> types.ModuleType:
    """`hatch_build.py`, its base class an empty one."""
    interface = types.ModuleType(INTERFACE)
    interface.__dict__["BuildHookInterface"] = type("BuildHookInterface", (), {})
    before = sys.modules.get(INTERFACE)
    sys.modules[INTERFACE] = interface
    try:
        spec = importlib.util.spec_from_file_location("hatch_build_here", ROOT / "hatch_build.py")
        assert spec is not None and spec.loader is not None
        module = importlib.util.module_from_spec(spec)
        spec.loader.exec_module(module)
    finally:
        if before is None:
            del sys.modules[INTERFACE]
        else:
            sys.modules[INTERFACE] = before
    return module
