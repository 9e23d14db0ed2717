"""Collects the translatable words of carelog into a catalogue, and compiles translations of it.

python3 packaging/catalogue.py             writes resources/translations/carelog.pot anew
python3 packaging/catalogue.py compile     writes the .mo beside each translated .po that it can use

A translation into German is resources/translations/de/LC_MESSAGES/carelog.po, begun as a copy of carelog.pot.
"""

from __future__ import annotations

import ast
import gettext
import io
import re
import struct
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
TRANSLATIONS = ROOT / "resources" / "translations"
TEMPLATE = TRANSLATIONS / "carelog.pot"
COMMAND = "python3 packaging/catalogue.py"
MARKING = frozenset({"mark", "say"})
HEADER = """Content-Type: text/plain; charset=UTF-8
Content-Transfer-Encoding: 8bit
"""

_PLACEHOLDER = re.compile(r"\{[^{}]*\}")
_MO_MAGIC = 0x950412DE  # GNU gettext manual, "The Format of GNU MO Files"


@dataclass(frozen=True, slots=True)
class Saying:
    """One marked text and where it stands."""

    words: str
    file: str
    line: int
    within: str = ""
    """The call around it, such as the class that a table's row is made of."""


def sayings(root: Path = ROOT) -> list[Saying]:
    """All texts that `mark` or `say` of carelog/text.py is given in the program, in the files' order."""
    found: list[Saying] = []
    for path in sorted((root / "carelog").rglob("*.py")):
        source = path.read_text(encoding="utf-8")
        found += _of_source(source, path.relative_to(root).as_posix())
    return found


def help_sayings(root: Path = ROOT) -> list[Saying]:
    """All paragraphs of the help pages; they are translated one by one."""
    sys.path.insert(0, str(root))
    from carelog.ui.help.paragraphs import paragraphs

    return [
        Saying(words, path.relative_to(root).as_posix(), number)
        for path in sorted((root / "resources" / "help").glob("*.md"))
        for number, (_sign, words) in enumerate(paragraphs(path.read_text(encoding="utf-8")), start=1)
    ]


def _of_source(source: str, file: str) -> Iterator[Saying]:
    tree = ast.parse(source, file)
    names = _names_of_marking(tree)
    calls = sorted(
        (node for node in ast.walk(tree) if isinstance(node, ast.Call)),
        key=lambda node: (node.lineno, node.col_offset),
    )
    around = {id(part): _name(call) for call in calls for part in [*call.args, *_keywords(call)]}
    for call in calls:
        if _name(call) in names and call.args:
            for each in _constants(call.args[0]):
                yield Saying(each, file, call.lineno, around.get(id(call), ""))


def _name(call: ast.Call) -> str:
    return call.func.id if isinstance(call.func, ast.Name) else ""


def _keywords(call: ast.Call) -> list[ast.expr]:
    return [each.value for each in call.keywords]


def _names_of_marking(tree: ast.Module) -> set[str]:
    """What `mark` and `say` are called here: a method of that name is something else."""
    return {
        alias.asname or alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and node.module == "carelog.text"
        for alias in node.names
        if alias.name in MARKING
    } | ({"mark"} if _defines_mark(tree) else set())


def _defines_mark(tree: ast.Module) -> bool:
    return any(isinstance(node, ast.FunctionDef) and node.name == "mark" for node in tree.body)


def _constants(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value:
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _constants(node.body)
        yield from _constants(node.orelse)


# The catalogue ------------------------------------------------------------------------------------------


def template(found: Sequence[Saying]) -> str:
    """The .pot: each text once, in their own order, with the files it stands in."""
    where: dict[str, list[str]] = {}
    for each in found:
        files = where.setdefault(each.words, [])
        if each.file not in files:
            files.append(each.file)
    blocks = [_block([], "", HEADER)]
    blocks += [_block(where[words], words, "") for words in sorted(where)]
    return "\n".join(blocks)


def _block(files: Sequence[str], words: str, translation: str) -> str:
    lines = [f"#: {file}" for file in files]
    if _PLACEHOLDER.search(words):
        lines.append("#, python-brace-format")
    return "\n".join([*lines, f"msgid {_quoted(words)}", f"msgstr {_quoted(translation)}", ""])


def _quoted(words: str) -> str:
    lines = words.splitlines(keepends=True)
    quoted = [f'"{_escaped(line)}"' for line in lines] or ['""']
    return quoted[0] if len(quoted) == 1 else "\n".join(['""', *quoted])


def _escaped(words: str) -> str:
    return words.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")


def read(catalogue: str) -> dict[str, str]:
    """The texts of a .pot or .po with their translations; ValueError for a line that isn't of its form."""
    found: dict[str, str] = {}
    part, words = "", {"msgid": "", "msgstr": ""}
    for number, line in enumerate([*catalogue.splitlines(), ""], start=1):
        match = re.fullmatch(r'(?:(msgid|msgstr)\s+)?("(?:[^"\\]|\\.)*")', line.strip())
        if match is None and line.strip() and not line.startswith("#"):
            raise ValueError(f"line {number} isn't of a catalogue: {line}")
        if match is None:
            if part == "msgstr":
                found[words["msgid"]] = words["msgstr"]
            part, words = "", {"msgid": "", "msgstr": ""}
            continue
        part = match[1] or part
        words[part] += ast.literal_eval(match[2])
    return found


# Translations -------------------------------------------------------------------------------------------


def faults(translated: dict[str, str]) -> list[str]:
    """Translations that can't be used: what stands in braces is a value's place and must stay as it is."""
    return [
        f"{words!r} and {translation!r} have other places for values"
        for words, translation in translated.items()
        if words
        and translation
        and sorted(_PLACEHOLDER.findall(words)) != sorted(_PLACEHOLDER.findall(translation))
    ]


def compiled(translated: dict[str, str]) -> bytes:
    """The .mo of a catalogue; texts without a translation are left out and shown as they are."""
    whole = {"": HEADER, **translated}
    pairs = sorted((words.encode(), text.encode()) for words, text in whole.items() if text)
    start = 7 * 4
    body = b""
    tables: tuple[list[int], list[int]] = ([], [])
    for side, table in enumerate(tables):
        for pair in pairs:
            table += [len(pair[side]), start + 16 * len(pairs) + len(body)]
            body += pair[side] + b"\0"
    head = struct.pack("<7I", _MO_MAGIC, 0, len(pairs), start, start + 8 * len(pairs), 0, 0)
    numbers = [*tables[0], *tables[1]]
    return head + struct.pack(f"<{len(numbers)}I", *numbers) + body


def compile_all(folder: Path = TRANSLATIONS) -> int:
    """Write the .mo beside each .po; the exit status, 1 when one of them can't be used."""
    status = 0
    for path in sorted(folder.rglob("*.po")):
        translated = read(path.read_text(encoding="utf-8"))
        wrong = faults(translated)
        if wrong:
            print(f"{path}: {'; '.join(wrong)}", file=sys.stderr)
            status = 1
            continue
        content = compiled(translated)
        gettext.GNUTranslations(io.BytesIO(content))  # refuses what it couldn't read later
        path.with_suffix(".mo").write_bytes(content)
    return status


def main(arguments: Sequence[str]) -> int:
    """Write the catalogue, or compile the translations; the exit status."""
    if arguments == ["compile"]:
        return compile_all()
    if arguments:
        print(__doc__, file=sys.stderr)
        return 2
    TRANSLATIONS.mkdir(parents=True, exist_ok=True)
    TEMPLATE.write_text(template([*sayings(), *help_sayings()]), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
