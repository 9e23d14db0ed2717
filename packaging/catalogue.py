"""Collects the translatable words of carelog into a catalogue, and keeps and compiles translations of it.

python3 packaging/catalogue.py              writes resources/translations/carelog.pot anew, and what stands
                                            on the board's tiles into resources/tiles.json
python3 packaging/catalogue.py begin de     begins a translation into German
python3 packaging/catalogue.py update       brings each .po up to date; what was said alike is marked fuzzy
python3 packaging/catalogue.py compile      writes the .mo beside each .po that it can use, without the fuzzy

A translation into German is resources/translations/de/LC_MESSAGES/carelog.po.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from pathlib import Path

try:
    from babel.core import Locale, UnknownLocaleError
    from babel.messages.catalog import Catalog, Message
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po, write_po
except ImportError:
    sys.exit(
        "Babel isn't installed here. .venv/bin/python -m pip install -r packaging/lock-dev.txt brings it."
    )

ROOT = Path(__file__).resolve().parent.parent
TRANSLATIONS = ROOT / "resources" / "translations"
TEMPLATE = TRANSLATIONS / "carelog.pot"
COMMAND = "python3 packaging/catalogue.py"
MARKING = frozenset({"mark", "say", "say_n"})
HEADER = """msgid ""
msgstr ""
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"

"""
COUNTS = frozenset({"{count}", "{days}", "{added}"})
"""The places of numbers that words are said of: a form for one may leave them out."""

_PLACEHOLDER = re.compile(r"\{[^{}]*\}")


@dataclass(frozen=True, slots=True)
class Saying:
    """One marked text and where it stands."""

    words: str
    file: str
    line: int
    within: str = ""
    """The call around it, such as the class that a table's row is made of."""
    many: str = ""
    """What is said for other numbers than one, if it is said of a number."""


def sayings(root: Path = ROOT) -> list[Saying]:
    """All texts that `mark`, `say` or `say_n` is given in the program, in the files' order."""
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
        for path in sorted((root / "resources" / "help").rglob("*.md"))
        for number, (_sign, words) in enumerate(paragraphs(path.read_text(encoding="utf-8")), start=1)
    ]


def tiles_text(root: Path = ROOT) -> str:
    """What stands on the tiles by the kinds' declarations, as the first paint reads it."""
    sys.path.insert(0, str(root))
    from carelog.ui.board.order import every_tile
    from carelog.ui.board.plates import written

    return written(placed.plate for placed in every_tile())


@cache
def _of_source(source: str, file: str) -> tuple[Saying, ...]:
    return tuple(_sayings_in(ast.parse(source, file), file))


def _sayings_in(tree: ast.Module, file: str) -> Iterator[Saying]:
    nodes = list(ast.walk(tree))
    names = _names_of_marking(tree, nodes)
    calls = sorted(
        (node for node in nodes if isinstance(node, ast.Call)),
        key=lambda node: (node.lineno, node.col_offset),
    )
    around = {id(part): _name(call) for call in calls for part in [*call.args, *_keywords(call)]}
    for call in calls:
        marking = names.get(_name(call), "")
        if not marking or not call.args:
            continue
        many = next(_constants(call.args[1]), "") if marking == "say_n" and len(call.args) > 1 else ""
        for each in _constants(call.args[0]):
            yield Saying(each, file, call.lineno, around.get(id(call), ""), many)


def _name(call: ast.Call) -> str:
    return call.func.id if isinstance(call.func, ast.Name) else ""


def _keywords(call: ast.Call) -> list[ast.expr]:
    return [each.value for each in call.keywords]


def _names_of_marking(tree: ast.Module, nodes: list[ast.AST]) -> dict[str, str]:
    """What `mark` and the others are called here: a method of that name is something else."""
    return {
        alias.asname or alias.name: alias.name
        for node in nodes
        if isinstance(node, ast.ImportFrom) and node.module == "carelog.text"
        for alias in node.names
        if alias.name in MARKING
    } | ({"mark": "mark"} if _defines_mark(tree) else {})


def _defines_mark(tree: ast.Module) -> bool:
    return any(isinstance(node, ast.FunctionDef) and node.name == "mark" for node in tree.body)


def _constants(node: ast.expr) -> Iterator[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value:
        yield node.value
    elif isinstance(node, ast.IfExp):
        yield from _constants(node.body)
        yield from _constants(node.orelse)


# The catalogue ------------------------------------------------------------------------------------------


def template(found: Sequence[Saying]) -> Catalog:
    """Each text once, with the files it stands in."""
    made = Catalog(charset="utf-8")
    for each in found:
        words = (each.words, each.many) if each.many else each.words
        made.add(words, locations=[(each.file, 0)])
    return made


def text_of(catalog: Catalog, header: str = HEADER) -> str:
    """A template as it is kept: in the texts' own order, and without a date: nothing but words changes it."""
    written = BytesIO()
    write_po(written, catalog, width=0, omit_header=True, sort_output=True, include_lineno=False)
    return header + written.getvalue().decode()


def texts_of(catalog: Catalog) -> set[str]:
    """The texts of a catalogue; of those said of a number, the one for one."""
    return {message.id if isinstance(message.id, str) else message.id[0] for message in catalog if message.id}


def kept() -> Catalog:
    """The template as it lies in the tree."""
    return read_po(BytesIO(TEMPLATE.read_bytes()))


# Translations -------------------------------------------------------------------------------------------


def faults(catalog: Catalog) -> list[str]:
    """Translations that can't be used: what stands in braces is a value's place and must stay as it is.

    A fuzzy one is only a guess and isn't judged. Of a number, a language may leave the number itself out.
    """
    return [
        f"{text!r} in place of {message.id!r} has other places for values"
        for message in catalog
        if message.id and not message.fuzzy
        for text in _forms(message)
        if text and _places(text) not in _allowed(message)
    ]


def _forms(message: Message) -> tuple[str, ...]:
    return (message.string,) if isinstance(message.string, str) else tuple(message.string or ())


def _places(words: str) -> list[str]:
    return sorted(_PLACEHOLDER.findall(words))


def _allowed(message: Message) -> list[list[str]]:
    if isinstance(message.id, str):
        return [_places(message.id)]
    places = [_places(each) for each in message.id]
    return [*places, *([each for each in found if each not in COUNTS] for found in places)]


def compiled(catalog: Catalog) -> bytes:
    """The .mo of a catalogue; texts without a sure translation are left out and shown as they are."""
    made = BytesIO()
    write_mo(made, catalog, use_fuzzy=False)
    return made.getvalue()


def translations(folder: Path) -> list[Path]:
    """The .po of each language."""
    return sorted(folder.rglob("*.po"))


def compile_all(folder: Path = TRANSLATIONS) -> int:
    """Write the .mo beside each .po; the exit status, 1 when one of them can't be used."""
    status = 0
    for path in translations(folder):
        catalog = _read(path)
        wrong = faults(catalog)
        if wrong:
            print(f"{path}: {'; '.join(wrong)}", file=sys.stderr)
            status = 1
            continue
        path.with_suffix(".mo").write_bytes(compiled(catalog))
    return status


def update_all(folder: Path = TRANSLATIONS, made: Catalog | None = None) -> int:
    """Bring each .po up to date: new texts empty, changed ones guessed and marked fuzzy, gone ones aside."""
    for path in translations(folder):
        catalog = _read(path)
        catalog.update(kept() if made is None else made)
        _write(path, catalog)
    return 0


def begin(language: str, folder: Path = TRANSLATIONS, made: Catalog | None = None) -> int:
    """Begin a translation, with the plural forms of its language; the exit status."""
    path = folder / language / "LC_MESSAGES" / "carelog.po"
    try:
        catalog = Catalog(Locale.parse(language), charset="utf-8")
    except (UnknownLocaleError, ValueError):
        print(f"{language!r} isn't the code of a language, such as de or pt_BR.", file=sys.stderr)
        return 2
    if path.exists():
        print(f"{path.name} of {language} is there already; `update` brings it up to date.", file=sys.stderr)
        return 2
    catalog.update(kept() if made is None else made)
    path.parent.mkdir(parents=True, exist_ok=True)
    _write(path, catalog)
    return 0


def _read(path: Path) -> Catalog:
    """A .po; a line that isn't of its form ends the program with its number."""
    return read_po(BytesIO(path.read_bytes()), locale=path.parent.parent.name, abort_invalid=True)


def _write(path: Path, catalog: Catalog) -> None:
    written = BytesIO()
    write_po(written, catalog, width=0, sort_output=True, include_lineno=False)
    path.write_bytes(written.getvalue())


def main(arguments: Sequence[str]) -> int:
    """Write the catalogue, or begin, update or compile translations; the exit status."""
    match arguments:
        case []:
            TRANSLATIONS.mkdir(parents=True, exist_ok=True)
            TEMPLATE.write_text(text_of(template([*sayings(), *help_sayings()])), encoding="utf-8")
            (ROOT / "resources" / "tiles.json").write_text(tiles_text(), encoding="utf-8")
            return 0
        case ["compile"]:
            return compile_all()
        case ["update"]:
            return update_all()
        case ["begin", language]:
            return begin(language)
    print(__doc__, file=sys.stderr)
    return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
