"""A sheet as one accessible page: headings, tables with scope, words for pictures, nothing from outside."""

from collections.abc import Callable, Iterator, Sequence
from html import escape

from carelog.analysis.compared import compared
from carelog.analysis.drawing import Drawing
from carelog.sheet.blocks import (
    Block,
    Boxes,
    Card,
    Cards,
    Cell,
    Compared,
    Content,
    DayRows,
    Days,
    Facts,
    Figure,
    Handwriting,
    Heading,
    Item,
    Listing,
    Loud,
    LoudBox,
    NewPage,
    Paragraphs,
    PictureRow,
    Points,
    Row,
    Ruled,
    RuledDays,
    Shape,
    Spread,
    Tabled,
    TableRow,
    Ticks,
    WordRow,
    Words,
    said,
)
from carelog.sheet.code import QUIET, code_parts, modules
from carelog.sheet.runs import day_words, run_lines
from carelog.sheet.svg import patterns, svg
from carelog.text import is_right_to_left, mark, say

_STYLE = """
body{font:16px/1.5 "Noto Sans",system-ui,sans-serif;color:#000;background:#fff}
body{max-width:68em;margin:0 auto;padding:1em}
h1{font-size:1.6em;margin:.2em 0}h2{font-size:1.2em;margin:1.4em 0 .3em}h3{font-size:1em;margin:1em 0 .2em}
.banner{border:2px solid #000;padding:.3em .6em;font-weight:600}
.warning{border-width:5px;font-size:1.15em}
dl{display:grid;grid-template-columns:max-content 1fr;gap:.2em 1em;margin:.6em 0}
dt{font-weight:600}dd{margin:0}
ul{padding-inline-start:1.2em}ul.plain{list-style:none;padding-inline-start:0}li{margin:.3em 0}
.urgent,.call{padding:.2em .5em}.urgent{background:#000;color:#fff}
.card{border:1px solid #000;padding:0 .6em;max-width:26em}.card p{margin:.3em 0}
dl.loud{border:3px solid #000;padding:.4em .6em}dl.loud dt{font-weight:400}.under{font-size:1rem}
.call{border:2px solid #000;border-inline-start-width:8px}
.wide{overflow-x:auto}table{border-collapse:collapse;width:100%}
th,td{border:1px solid #555;padding:.2em .4em;text-align:start;vertical-align:top}
caption{text-align:start;font-weight:600}td.time{white-space:nowrap}.soft{color:#333}
figure{margin:.8em 0;overflow-x:auto}svg.patterns{position:absolute}s{text-decoration-thickness:2px}
""".strip()
_SHAPES = {
    Shape.FULL: mark("done"),
    Shape.OUT: mark("outside"),
    Shape.HALF: mark("overdue"),
    Shape.GAP: mark("not recorded"),
    Shape.OPEN: mark("due"),
}
_CODE, _SAME_TEXT = mark("Code"), mark("the same text")
_LEVELS = (Shape.URGENT, Shape.CALL, Shape.NOTE)


def _direction() -> str:
    return ' dir="rtl"' if is_right_to_left() else ""


def page_of(content: Content, title: str) -> str:
    """The whole page under a title."""
    body = "\n".join(part for block in content.blocks for part in _block(block))
    feet = "".join(f"<p>{_text(foot)}</p>" for foot in content.feet.lines)
    banner = f'<p class="banner">{_text(content.banner)}</p>' if content.banner else ""
    banner += f'<p class="banner warning">{_text(content.warning)}</p>' if content.warning else ""
    banner += f'<p class="urgent">{_text(content.alert)}</p>' if content.alert else ""
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(content.language, quote=True)}"{_direction()}>\n'
        '<head>\n<meta charset="utf-8">\n'
        f'<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_text(title)}</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n"
        f"{patterns()}\n<header><h1>{_text(content.title)}</h1>\n<p>{_text(content.subtitle)}</p>{banner}</header>\n"
        f"<main>\n{body}\n</main>\n<footer>{feet}</footer>\n</body>\n</html>\n"
    )


def _text(text: str) -> str:
    """Any text as text of a page; characters that a page may not hold stand as their numbers."""
    return escape("".join(_shown(letter) for letter in text)).replace("\n", "<br>")


def _shown(letter: str) -> str:
    code = ord(letter)
    if letter == "\n" or 0x20 <= code < 0x7F or 0xA0 <= code < 0xD800:
        hidden = 0x200B <= code <= 0x200F or 0x2028 <= code <= 0x202E or 0x2060 <= code <= 0x206F
        return f"[U+{code:04X}]" if hidden else letter
    if code < 0xA0 or 0xD800 <= code < 0xF900 or 0xFE00 <= code <= 0xFE0F or code & 0xFFFE == 0xFFFE:
        return {"\t": " ", "\r": ""}.get(letter, f"[U+{code:04X}]")
    return f"[U+{code:04X}]" if code in (0xFEFF, 0xFFF9, 0xFFFA, 0xFFFB) or code >= 0xE0000 else letter


def _words(pieces: Words) -> str:
    found = []
    for piece in pieces:
        text = _text(piece.text)
        text = f"<strong>{text}</strong>" if piece.bold else text
        found.append(f"<s>{text}</s>" if piece.struck else text)
    return "".join(found)


def _block(block: Block) -> Iterator[str]:
    match block:
        case Heading():
            yield f"<h2>{_text(block.text)}</h2>"
            if block.beside:
                yield f'<p class="soft">{_text(block.beside)}</p>'
        case Facts():
            yield _facts(block)
        case Points():
            yield from _points(block)
        case Spread():
            yield from (part for each in block.blocks for part in _block(each))
        case Compared():
            yield from _compared(block)
        case Days():
            yield from _days(block)
        case Paragraphs():
            yield from _block(Heading(block.title, block.beside))
            yield "".join(f"<p>{_words(day_words(group))}</p>" for group in block.groups)
        case Listing():
            yield from _block(Heading(block.title, block.beside))
            yield from (_group(group) for group in block.groups)
        case Handwriting():
            yield "".join(f"<p><strong>{_text(label)}:</strong></p>" for label, _ in block.labels)
        case Loud():
            yield f'<dl class="loud">{"".join(_box(box) for row in block.rows for box in row)}</dl>'
        case Ticks():
            yield _ticks(block)
        case Tabled():
            yield from _table(block)
        case Figure():
            yield f"<h2>{_text(block.title)}</h2>"
            yield from (f"<figure>{svg(each, block.title)}</figure>" for each in block.drawings)
            yield from _table(block.table)
        case NewPage() | Boxes() | Ruled() | RuledDays():
            yield from _by_hand(block)
        case Cards():
            yield from (_card(each) for each in dict.fromkeys(block.cards))


def _facts(block: Facts) -> str:
    rows = "".join(f"<dt>{_text(name)}</dt><dd>{_words(text)}</dd>" for name, text in block.rows)
    return f"{f'<h2>{_text(block.title)}</h2>' if block.title else ''}<dl>{rows}</dl>"


def _ticks(block: Ticks) -> str:
    lines = "".join(f"<li>☐ {_text(label)}</li>" for label in block.labels)
    return f'<p><strong>{_text(block.title)}</strong></p><ul class="plain">{lines}</ul>'


def _table(block: Tabled) -> Iterator[str]:
    heads = "".join(f'<th scope="col">{_text(name)}</th>' for name, _ in block.heads)
    rows = "".join(_table_row(row, len(block.heads)) for row in block.rows)
    name = escape(block.title, quote=True)
    yield (
        f'<div class="wide" tabindex="0" role="region" aria-label="{name}"><table>'
        f"<caption>{_text(block.title)}</caption><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table></div>"
    )


def _table_row(row: TableRow, count: int) -> str:
    first, *others = row.cells
    cells = "".join(f"<td>{_text(cell)}</td>" for cell in others)
    under = f'<tr><td colspan="{count}">{_text(row.under)}</td></tr>' if row.under else ""
    return f'<tr><th scope="row">{_text(first)}</th>{cells}</tr>{under}'


def _card(card: Card) -> str:
    rows, width = modules(card.text), 4.0
    side = (len(rows) + 2 * QUIET) * width
    drawing = Drawing(side, side, code_parts(rows, QUIET * width, QUIET * width, width), say(_SAME_TEXT))
    lines = "".join(f"<p>{_text(line.text)}</p>" for line in card.lines)
    return f'<section class="card">{lines}{svg(drawing, say(_CODE))}</section>'


def _box(box: LoudBox) -> str:
    under = "".join(f'<br><span class="under">{_words(line)}</span>' for line in box.under)
    size = f"{1 + (box.size - 1) / 2:.2f}".rstrip("0").rstrip(".")
    return f'<dt>{_text(box.label)}</dt><dd style="font-size:{size}em">{_words(box.words)}{under}</dd>'


def _points(block: Points) -> Iterator[str]:
    if len(block.items) == 1 and block.items[0].sign in _LEVELS:
        item = block.items[0]
        yield f'<h3><span class="{item.sign.value}">{_text("".join(p.text for p in item.words))}</span></h3>'
        return
    yield f'<ul class="plain">{"".join(map(_item, block.items))}</ul>'


def _compared(block: Compared) -> Iterator[str]:
    if not block.rows:
        return
    names = (mark("What"), mark("These days and before"), mark("Picture"))
    heads = "".join(f'<th scope="col">{_text(say(name))}</th>' for name in names)
    rows = "".join(
        f'<tr><th scope="row">{_text(row.title)}</th><td>{_text(row.words)}</td>'
        f"<td>{svg(compared(row, 160, 16), row.title)}</td></tr>"
        for row in block.rows
    )
    yield f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"


def _by_hand(block: NewPage | Boxes | Ruled | RuledDays) -> Iterator[str]:
    """What is filled in on the printed page."""
    match block:
        case NewPage():
            yield f"<h2>{_text(block.title)}</h2>"
        case Boxes():
            items = "".join(f"<li>☐ {_text(label)}</li>" for label in block.labels)
            yield f'<h2>{_text(block.title)}</h2><ul class="plain">{items}</ul>'
        case Ruled():
            yield from _form(block)
        case RuledDays():
            yield from _days_form(block)


def _form(block: Ruled) -> Iterator[str]:
    """Rows to fill in on a printed page."""
    yield from _block(Heading(block.title, block.beside))
    heads = "".join(
        f'<th scope="col">{_text(f"{column.group} {column.name}".strip())}</th>' for column in block.columns
    )
    told = block.told or ((),) * len(block.first)
    rows = "".join(_form_row(block, *row) for row in zip(block.first, told, strict=True))
    yield f'<div class="wide" tabindex="0" role="region" aria-label="{escape(block.title, quote=True)}">'
    yield f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table></div>"


def _days_form(block: RuledDays) -> Iterator[str]:
    """A row for each line that is written on, a cell for each day."""
    yield from _block(Heading(block.title, block.beside))
    heads = "".join(f'<th scope="col">{_text(name)}</th>' for name in (say(mark("Day")), *block.names))
    rows = ""
    for row in block.rows:
        for line in row.lines or ("☐",):
            name = " ".join(part for part in (row.title, line if row.lines else "") if part)
            cells = f"<td>{_text('' if row.lines else line)}</td>" * len(block.names)
            rows += f'<tr><th scope="row">{_text(name)}</th>{cells}</tr>'
    yield f'<div class="wide" tabindex="0" role="region" aria-label="{escape(block.title, quote=True)}">'
    yield f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table></div>"


def _form_row(block: Ruled, first: str, told: Sequence[str]) -> str:
    cells = ""
    for column, text in zip(block.columns[1:], [*told, *[""] * len(block.columns)], strict=False):
        box = "☑" if text else "☐"
        cells += f"<td>{box if column.is_box else _text(text)}</td>"
    name = f'<th scope="row">{_text(first)}</th>' if told else f"<td>{_text(first)}</td>"
    return f"<tr>{name}{cells}</tr>"


def _item(item: Item) -> str:
    under = "".join(f"<br>{_words(line)}" for line in item.under)
    return f"<li>{_words(item.words)}{under}</li>"


def _days(block: Days) -> Iterator[str]:
    heads = "".join(f'<th scope="col">{_text(name)}</th>' for name in block.names)
    rows = "".join(_day_row(row) for row in block.rows)
    name = escape(block.title, quote=True)
    yield f"<h2>{_text(block.title)}</h2>"
    yield (
        f'<div class="wide" tabindex="0" role="region" aria-label="{name}">'
        f'<table><thead><tr><th scope="col">{_text(say(mark("Day")))}</th>{heads}</tr></thead>'
        f"<tbody>{rows}</tbody></table></div>"
    )
    for row in block.rows:
        if isinstance(row, PictureRow):
            caption = f"{row.title}{f' ({row.beside})' if row.beside else ''}"
            yield f"<figure>{svg(row.drawing, row.title)}<figcaption>{_text(caption)}</figcaption></figure>"


def _day_row(row: WordRow | PictureRow) -> str:
    beside = f" <span>({_text(row.beside)})</span>" if row.beside else ""
    if isinstance(row, PictureRow):
        cells = "".join(f"<td>{_text(cell)}</td>" for cell in row.cells)
    else:
        cells = "".join(f"<td>{_cell(cell)}</td>" for cell in row.cells)
    return f'<tr><th scope="row">{_text(row.title)}{beside}</th>{cells}</tr>'


def _cell(cell: Cell) -> str:
    counts = {sign: cell.signs.count(sign) for sign in dict.fromkeys(cell.signs)}
    shapes = ", ".join(
        f"{count}\N{MULTIPLICATION SIGN} {say(_SHAPES[sign])}" for sign, count in counts.items()
    )
    only = [say(_SHAPES[sign]) for sign in counts]
    text = "" if [said(cell.words)] == only else _words(cell.words)
    return f"{_text(shapes)}{': ' if shapes and text else ''}{text}"


def _group(group: DayRows) -> str:
    head = f"<h3>{_text(group.title)}</h3>{''.join(f'<p>{_words(line)}</p>' for line in run_lines(group))}"
    if not group.rows:
        return f"{head}<p>{_text(group.empty)}</p>" if group.empty else head
    names = (mark("Time"), mark("What"), mark("Details"), mark("By"), mark("Remarks"))
    heads = "".join(f'<th scope="col">{_text(say(name))}</th>' for name in names)
    rows = "".join(map(_row, group.rows))
    return f"{head}<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"


def _row(row: Row) -> str:
    strike: Callable[[str], str] = (lambda text: f"<s>{text}</s>") if row.struck else (lambda text: text)
    marks = "; ".join(row.marks)
    return (
        f'<tr><td class="time">{strike(_text(row.time))}</td><th scope="row">{strike(_text(row.title))}</th>'
        f"<td>{strike(_text(row.details))}</td><td>{_text(row.by)}</td><td>{_text(marks)}</td></tr>"
    )
