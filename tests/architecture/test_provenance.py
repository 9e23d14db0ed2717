"""What the page of provenance and the guide say about parts and sources is whole."""

import re
import tomllib

import pytest

from carelog.analysis.rules.table import RULES
from tests.architecture.test_lock import plain
from tests.architecture.tree import ROOT

PAGE = (ROOT / "tests" / "PROVENANCE.md").read_text(encoding="utf-8")
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
ASKED = sorted(map(plain, [*PROJECT["dependencies"], *PROJECT["optional-dependencies"]["dev"]]))


@pytest.mark.parametrize("name", ASKED)
def test_every_dependency_has_its_reason_and_its_licence(name: str) -> None:
    for page in (GUIDE, PAGE):
        assert re.search(rf"(?<![\w-]){name.replace('-', '[-_.]')}(?![\w-])", page, re.IGNORECASE), name


def test_every_source_of_a_rule_is_named() -> None:
    names = {source.name for rule in RULES for source in rule.sources}
    firsts = {re.split(r"[ ,(']", name.removeprefix("University of "))[0] for name in names}
    own = {"common", "how", "sums", "30", "critical-care"}
    assert [each for each in sorted(firsts - own) if each not in PAGE] == []


def test_no_page_cites_a_numbered_section_or_figure_of_another_page() -> None:
    for path in [*(ROOT / "tests").rglob("*.py"), *(ROOT / "carelog").rglob("*.py")]:
        if path.name != "test_provenance.py":
            found = re.search(r"\b[Ff]igures? \d|reading\.md|words\.md", path.read_text(encoding="utf-8"))
            assert found is None, (path, found)


ADDRESS = re.compile(r"https?:|www\.|\b[\w-]+\.(?:com|org|net|info|blog|uk|de|me)\b", re.IGNORECASE)


def test_the_page_names_publishers_and_no_address_of_the_web() -> None:
    assert ADDRESS.search(PAGE) is None
    assert not [source.name for rule in RULES for source in rule.sources if ADDRESS.search(source.name)]


@pytest.mark.parametrize("words", ["see https://x.example/y", "www.x.example", "janes-page.blog", "x.co.uk"])
def test_an_address_would_be_found(words: str) -> None:
    assert ADDRESS.search(words) is not None
