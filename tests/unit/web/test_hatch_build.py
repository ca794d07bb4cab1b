"""The screens are built into the package once, and again only when what they are made of has changed."""

import importlib.util
import sys
import types
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]


@pytest.fixture
def hook(monkeypatch, tmp_path):
    """The build hook as a build calls it, with a counted build in place of the real one."""
    interface = types.ModuleType("hatchling.builders.hooks.plugin.interface")
    interface.BuildHookInterface = type("BuildHookInterface", (), {})
    for name in (
        "hatchling",
        "hatchling.builders",
        "hatchling.builders.hooks",
        "hatchling.builders.hooks.plugin",
    ):
        monkeypatch.setitem(sys.modules, name, types.ModuleType(name))
    monkeypatch.setitem(sys.modules, interface.__name__, interface)
    spec = importlib.util.spec_from_file_location("hatch_build_here", ROOT / "hatch_build.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    (tmp_path / "web" / "src").mkdir(parents=True)
    (tmp_path / "web" / "src" / "main.tsx").write_text("1")
    (tmp_path / "web" / "node_modules").mkdir()
    built = []

    def build(web, out):
        out.mkdir(parents=True, exist_ok=True)
        built.append(web)

    monkeypatch.setattr(module, "build", build)
    one = module.CustomBuildHook()
    one.root, one.built, one.web = str(tmp_path), built, tmp_path / "web"
    return one


def test_a_second_build_has_nothing_to_do(hook):
    for _ in range(2):
        hook.initialize("standard", {})
    assert len(hook.built) == 1


@pytest.mark.parametrize(
    ("place", "again"),
    [
        ("src/main.tsx", True),
        ("src/new.ts", True),
        ("package-lock.json", True),
        ("src/main.test.ts", False),
        ("node_modules/x.js", False),
        ("fixtures/tuesday.json", False),
    ],
)
def test_a_change_of_what_is_shipped_builds_anew(hook, place, again):
    hook.initialize("standard", {})
    path = hook.web / place
    path.parent.mkdir(exist_ok=True)
    path.write_text("2")
    hook.initialize("editable", {})
    assert len(hook.built) == (2 if again else 1)


def test_a_file_that_was_renamed_counts_as_changed(hook):
    hook.initialize("standard", {})
    (hook.web / "src" / "main.tsx").rename(hook.web / "src" / "other.tsx")
    hook.initialize("standard", {})
    assert len(hook.built) == 2
