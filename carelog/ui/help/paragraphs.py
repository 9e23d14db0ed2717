"""The parts of a help page's text, each translated by itself."""

HEADING, ITEM, PLAIN = "#", "-", ""


def paragraphs(text: str) -> list[tuple[str, str]]:
    """Headings (#), items of lists (-) and plain paragraphs, each with its sign; blank lines part them."""
    found = []
    for block in text.split("\n\n"):
        lines = block.strip().splitlines()
        if not lines:
            continue
        if lines[0].startswith("# "):
            found.append((HEADING, lines[0][2:]))
        elif lines[0].startswith("- "):
            found.extend((ITEM, line[2:]) for line in lines)
        else:
            found.append((PLAIN, " ".join(lines)))
    return found
