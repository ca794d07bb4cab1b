"""The fixture `published`, and the page docs/validation.md that the comparisons stated with it make.

A whole run fails when the page is not what its tests state; `--write-validation` writes it instead.
Cases travel as properties of the tests' reports, so that they arrive from parallel workers too.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from longest_first import longest_first
from published import Case, Published, case_of, check
from validation_page import differences, page

ROOT = Path(__file__).parents[1]
PAGE, NOTES = ROOT / "docs" / "validation.md", ROOT / "docs" / "validation-notes.md"
CASE = "published case"
# How fast a machine is decides no test.
settings.register_profile("any machine", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("any machine")
STATED = pytest.StashKey[list[Case]]()
LACKING = pytest.StashKey[list[str]]()


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--write-validation", action="store_true", help="write docs/validation.md")
    parser.addoption("--kills", type=int, default=30, help="how often the durability tests kill a writer")


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "subject(name): group of docs/validation.md of the cases stated here")
    if config.option.write_validation and not (hasattr(config, "workerinput") or whole(config)):
        raise pytest.UsageError("--write-validation: run all of tests/reference, and nothing else chosen")
    config.stash[STATED], config.stash[LACKING] = [], []
    config.pluginmanager.register(Collected(config))


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    longest_first(items)


@pytest.fixture
def published(request: pytest.FixtureRequest) -> Published:
    """States a comparison with a published number: see `published.case_of`. Fails when it does not hold."""
    (subject,) = request.node.get_closest_marker("subject").args
    folder = Path(request.path).parent.relative_to(ROOT / "tests").as_posix()
    first = 1000 * request.session.items.index(request.node)

    def state(what: str, source: str, **compared: Any) -> Case:
        order = first + len(request.node.user_properties)
        case = replace(case_of(subject, what, source, **compared), held_by=folder, order=order)
        check(case)
        request.node.user_properties.append((CASE, asdict(case)))
        return case

    return state


class Collected:
    """Takes the cases from the reports and sees to the page once all have run."""

    def __init__(self, config: pytest.Config) -> None:
        self.config = config

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.when == "call":
            cases = [Case(**told) for name, told in report.user_properties if name == CASE]
            self.config.stash[STATED] += cases

    def pytest_sessionfinish(self, session: pytest.Session, exitstatus: int) -> None:
        if hasattr(self.config, "workerinput") or exitstatus != pytest.ExitCode.OK or not whole(self.config):
            return
        fresh = page(self.config.stash[STATED], NOTES.read_text(encoding="utf-8"))
        if self.config.option.write_validation:
            PAGE.write_text(fresh, encoding="utf-8")
        elif lacking := differences(PAGE.read_text(encoding="utf-8"), fresh):
            self.config.stash[LACKING] = lacking
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        if lacking := self.config.stash[LACKING]:
            terminalreporter.section("docs/validation.md is not what the tests state: make validation")
            terminalreporter.write_line("\n".join(lacking))


def whole(config: pytest.Config) -> bool:
    """Whether every test that states cases ran: the whole suite, or all of tests/reference."""
    option = config.option
    chosen = option.collectonly or option.keyword or option.markexpr or option.deselect
    everything = config.args_source is pytest.Config.ArgsSource.TESTPATHS
    return not (chosen or getattr(option, "lf", False)) and (everything or config.args == ["tests/reference"])
